"""The only writer and the only reader of the tables."""
