"""Attempts to break the log, the advice and the set-up: each part counts its cases and what went wrong."""
