"""The attempts by name. Each is a module of this package with ``run(options)``, which yields table rows."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from importlib import import_module

from benching.options import Options

ATTEMPTS: dict[str, str] = {
    "merges": "two laptops, merged in any order",
    "windows": "two apps, imports and a shell on one log at once",
    "kills": "kill -9 at random moments, in commands and in the app",
    "power": "a power cut after every write: torn, dropped and reordered",
    "disk": "a disk that is full, fails, is read-only or gone",
    "flips": "every byte of a log changed, one at a time",
    "salvages": "logs with random damage, saved as far as they go",
    "harm": "random and hostile cabins, stoves and evenings: any advice that could harm",
    "poor": "logs full of nonsense: is anything wrong said with confidence",
    "clocks": "phrases of time in every zone, around every change of its clock",
    "fuzz": "lines, tables, descriptions, databases, JSON, arguments and environments bent out of shape",
    "load": "a log of thirty years with a million rows of a logger",
}
"""In this order: name of the module and what it tries."""

HEAD = ("| promise | cases | seed | what was found |", "|---|---|---|---|")
"""Each attempt yields rows of these columns."""


def run(options: Options) -> Iterator[str]:
    """The rows of all attempts, or of those named after the colon (``reliability:kills``)."""
    yield from HEAD
    for name in options.attempts or ATTEMPTS:
        print(f"bench: reliability:{name}, {ATTEMPTS[name]} ...", file=sys.stderr, flush=True)
        began = time.perf_counter()
        yield from import_module(f"benching.reliability.{name}").run(options)
        took_s = time.perf_counter() - began
        print(f"bench: reliability:{name} took {took_s:.0f} s", file=sys.stderr, flush=True)
