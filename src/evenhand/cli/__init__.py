"""The command line: parse, call the desk, show."""
