"""The wire between phones and the shop's server."""
