"""Log bytes into traces. Flaws are listed, never repaired; no disk here."""
