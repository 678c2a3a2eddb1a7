"""What a picture of each kind of fault shows: the arrays that were judged."""
