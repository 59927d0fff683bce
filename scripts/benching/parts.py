"""The parts by name, the command's arguments, and the head that says when and where it was measured."""

from __future__ import annotations

import argparse
import os
import platform
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from importlib import import_module
from importlib.metadata import version
from pathlib import Path

from benching.options import Options
from benching.reliability.parts import ATTEMPTS

ROOT = Path(__file__).resolve().parents[2]

PARTS = {
    "practice": "five practice cabins: every night forecast from what was known then",
    "advice": "the first choice, carried out: its cost beside hindsight and fixed rules",
    "coverage": "200 invented cabins: how often the ranges hold the truth",
    "coheating": "a measured house with heaters of known power (needs --data)",
    "compare": "invented pairs of cabins, before and after a change",
    "next": "does the observation it asks for narrow the range as said",
    "nuts": "the posterior against a general-purpose NUTS sampler (needs the bench extra)",
    "speed": "seconds for each thing that must be quick, and where they go",
    "app": "the app in a terminal: first frame, keys, memory, ten years of log, 20,000 random keys",
    "reliability": "attempts to break log, advice and set-up (hours; one alone: reliability:NAME)",
}
"""In this order; each is a module of this package with ``run(options)``, which yields lines."""


def parsed(arguments: Sequence[str]) -> argparse.Namespace:
    """The arguments."""
    about = "parts:\n" + "\n".join(f"  {name:12} {what}" for name, what in PARTS.items())
    about += "\nattempts of reliability:\n" + "\n".join(
        f"  {name:12} {what}" for name, what in ATTEMPTS.items()
    )
    parser = argparse.ArgumentParser(
        prog="bench.py",
        description="Every figure of the README, as tables ready to paste.",
        epilog=about,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("parts", nargs="*", metavar="PART", help="which parts; all when none is named")
    parser.add_argument("--data", type=Path, metavar="DIR", help="measured data of others, not kept here")
    parser.add_argument("--quick", action="store_true", help="miniatures, to see that it runs")
    parser.add_argument("--all", action="store_true", help="advice: every practice night, not every third")
    parser.add_argument("--seed", type=int, default=1, help="reliability: where the dice start")
    parser.add_argument("--cases", type=int, help="reliability: so many cases instead of each attempt's own")
    parser.add_argument("--first", type=int, default=0, help="reliability:merges: the case to begin at")
    asked = parser.parse_args(arguments)
    known = {*PARTS, *(f"reliability:{name}" for name in ATTEMPTS)}
    unknown = sorted(set(asked.parts) - known)
    if unknown:
        parser.error(f"no such part: {', '.join(unknown)}\nparts are {', '.join(PARTS)}")
    return asked


def run(arguments: Sequence[str]) -> int:
    """Run and print."""
    asked = parsed(arguments)
    options = Options(
        data=asked.data,
        quick=asked.quick,
        all_nights=asked.all,
        seed=asked.seed,
        cases=asked.cases,
        first=asked.first,
    )
    print(head(quick=options.quick), flush=True)
    for name in asked.parts or PARTS:
        print(f"bench: {name} ...", file=sys.stderr, flush=True)
        began = time.perf_counter()
        print(f"\n## {name}: {PARTS[name.partition(':')[0]]}\n", flush=True)
        for line in lines_of(name, options):
            print(line, flush=True)
        print(f"\n({time.perf_counter() - began:.0f} s)", flush=True)
    return 0


def lines_of(name: str, options: Options) -> Iterator[str]:
    """The lines of one part."""
    part, _, attempt = name.partition(":")
    if part == "reliability":
        chosen = replace(options, attempts=(attempt,) if attempt else ())
        yield from import_module("benching.reliability.parts").run(chosen)
        return
    yield from import_module(f"benching.{part}").run(options)


def head(*, quick: bool) -> str:
    """When, with what and on what; a miniature says so."""
    load = f", load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else ""
    said = (
        f"Measured {datetime.now(UTC).date()}, {os.cpu_count()} cores ({platform.machine()}{load}), "
        f"Python {platform.python_version()}, numpy {version('numpy')}, textual {version('textual')}."
    )
    return said + (" MINIATURE (--quick): not figures to quote." if quick else "")
