"""Frozen answers by subject: what actions hand to screens, commands and paper; each light by itself."""
