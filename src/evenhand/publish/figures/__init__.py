"""One function a figure: findings and names in, pictures out."""
