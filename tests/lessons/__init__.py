"""What the boils taught."""
