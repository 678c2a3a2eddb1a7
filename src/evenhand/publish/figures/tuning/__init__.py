"""Pictures of tuned parts: the map, hours and what they claim, temperatures, watts."""
