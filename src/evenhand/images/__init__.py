"""Photos as bytes: which kind, how large, and the same picture without what tells of place and device."""
