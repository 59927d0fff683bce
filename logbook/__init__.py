"""Nightload, a logbook for a small cabin heated by a wood stove."""
