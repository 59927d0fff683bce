"""Waiting for what is to come, instead of for a time that a slow machine overruns."""

from __future__ import annotations

import time
from collections.abc import Callable

from textual.pilot import Pilot

LONG_S = 20.0
"""Given up after this: many times what a loaded machine takes."""


async def until(pilot: Pilot[None], holds: Callable[[], object]) -> None:
    """Let the app go on until something holds; fails when it does not come."""
    end = time.monotonic() + LONG_S
    while not holds():
        assert time.monotonic() < end, "it did not come"
        await pilot.pause(0.01)
