"""Tuned parts in words: what comes next, what is advised, what hours claim, heat, watts, what was gained."""
