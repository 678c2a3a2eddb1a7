"""What the system lets a program read of the machine, each with its source, or why it cannot be read."""
