"""Checks from outside: reference values from independent sources, and simulated studies of known truth."""
