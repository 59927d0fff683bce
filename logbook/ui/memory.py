"""Giving memory back after slow work: a fit needs much for seconds, and the app stays open all evening."""

from __future__ import annotations

import sys


def give_back() -> None:
    """Return what was freed to the system, where the C library keeps it (glibc); elsewhere nothing happens.

    Takes a few milliseconds and changes no answer. Source: malloc_trim(3).
    """
    if not sys.platform.startswith("linux"):
        return
    import ctypes  # noqa: PLC0415 - loaded by numpy already when there is anything to give back

    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
    if trim is not None:  # musl has none
        trim(ctypes.c_size_t(0))
