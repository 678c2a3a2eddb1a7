"""Findings, money and an audience into a verdict, and what would flip it."""
