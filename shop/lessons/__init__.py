"""What the boils taught: the shop's own numbers from its records, and how well plans foretold."""
