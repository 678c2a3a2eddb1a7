"""What each page shows, worked out: plain words, numbers that are ready to be read, finished pictures."""
