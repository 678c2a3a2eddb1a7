"""What is run next: balanced orders, looks declared in advance, how many runs a question needs."""
