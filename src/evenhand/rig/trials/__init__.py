"""Trials of a clock and a voltage on this machine, which leave a record however they end."""
