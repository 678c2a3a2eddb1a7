"""Prices, value, and what a difference is worth."""
