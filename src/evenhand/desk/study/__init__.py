"""What a study asks, compares and is decided by: put on record, changed, put away."""
