"""Findings into charts and sentences: returns text or bytes, writes no file."""
