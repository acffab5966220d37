"""The phone at its station: one shell, one worker, one pack."""
