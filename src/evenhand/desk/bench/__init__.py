"""The bench day: the plan and how it stands, rigs, files that come in by themselves, hidden names."""
