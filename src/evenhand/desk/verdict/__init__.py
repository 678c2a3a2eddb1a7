"""For whom: verdicts, what flips them, how far a sentence may reach, questions answered."""
