"""An invented shop."""
