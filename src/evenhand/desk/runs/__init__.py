"""One run and what is thought of it: triage, evidence, cuts, decisions."""
