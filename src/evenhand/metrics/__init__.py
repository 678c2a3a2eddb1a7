"""One run into numbers, each under its definition. Knows nothing of other builds."""
