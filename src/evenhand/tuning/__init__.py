"""What a tuned part may be said to hold: its edge, a voltage with a reserve, and how hot it gets."""
