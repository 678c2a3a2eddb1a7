"""The proof of triage: runs of known truth, faults planted in them, and how many of each are held."""
