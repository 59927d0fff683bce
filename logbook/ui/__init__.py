"""The terminal app; it decides nothing."""
