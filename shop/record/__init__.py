"""What happened: events, and the state that follows from them."""
