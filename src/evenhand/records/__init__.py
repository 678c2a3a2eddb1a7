"""Frozen facts: what the reviewer wrote down. No numpy, no files, no clock."""
