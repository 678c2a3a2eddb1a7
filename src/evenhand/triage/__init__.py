"""A run against its siblings: faults, each with evidence a person can check."""
