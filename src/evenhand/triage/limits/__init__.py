"""Every threshold of triage as named, frozen data: one module for each family of faults."""
