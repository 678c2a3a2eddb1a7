"""One function per thing a reviewer does: load, call the pure rooms, save."""
