"""What we intend."""
