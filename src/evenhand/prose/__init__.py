"""What the reviewer writes: scripts with live figures, and the check of every sentence against the record."""
