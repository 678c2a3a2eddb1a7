"""Ways to spoil one run, by where they show."""
