"""What the runs say of the setups: findings, causes, anchors, pictures of them."""
