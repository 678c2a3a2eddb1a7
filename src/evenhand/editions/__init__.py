"""What goes out of one frozen snapshot, and what a change of the record would touch of it."""
