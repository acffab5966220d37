"""What stands on a bag, from what went into the boil."""
