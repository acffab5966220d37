"""What sugar does."""
