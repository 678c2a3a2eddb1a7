"""One module for each kind of fault: what it is, its sentence, and what to do about it."""
