"""The log file and everything that enters or leaves it."""
