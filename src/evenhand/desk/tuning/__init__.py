"""Tuned parts: noted, their trials, where these stand, what comes next and what may be claimed."""
