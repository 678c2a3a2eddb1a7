"""The Saltmarsh example: raw logs from a fixed seed."""
