"""Arrays in, numbers out. Knows no hardware word."""
