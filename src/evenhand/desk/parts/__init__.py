"""What is known of parts, what they cost, and whether they go together."""
