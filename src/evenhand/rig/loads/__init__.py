"""Loads whose answers are known: rounds without an end on every core, each answer held against its own."""
