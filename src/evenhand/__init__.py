"""Evenhand: from logs and receipts to a sentence a stranger can spend money on."""

__version__ = "0.1.0"
