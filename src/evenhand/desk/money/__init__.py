"""What a machine is worth over its life: ownership, value over days, better parts, upgrade paths."""
