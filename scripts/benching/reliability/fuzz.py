"""Bad input: a seeded grammar of lines, tables, descriptions, databases, JSON, arguments and environments.

0 tracebacks, 0 hangs, 0 changes beyond what the printed sentence said. Cases are JSON: one can be kept and
played again; ``kill`` ends a run early with the rows of what it played. Findings go to the file named by
NIGHTLOAD_FUZZ_FINDINGS, one a line.
"""

from __future__ import annotations

import os
import re
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path

from benching.options import Options
from benching.reliability.fuzz_cases import MAKERS, Case, cases, text_of
from benching.reliability.fuzz_ground import Ground, ground
from benching.reliability.fuzz_kept import Keeper
from benching.reliability.fuzz_more import MORE, MORE_EVERY, more_cases
from benching.reliability.fuzz_play import play

FULL, QUICK = 200_000, 500
SHOWN = 5
"""Findings named in the table; the rest are counted."""


def run(options: Options) -> Iterator[str]:
    """A row for each kind of input: cases, seed, and what was found."""
    count = options.how_many(FULL, quick=QUICK)
    with ground() as at:
        some = chain(cases(count, options.seed), more_cases(count // MORE_EVERY, options.seed))
        played, found = tried(some, at, say=True)
        codes = at.codes
    for kind in (*MAKERS, *MORE):
        ended = ", ".join(
            f"exit {code}: {n}" for (name, code), n in sorted(codes.items(), key=str) if name == kind
        )
        faults = found.get(kind, Counter())
        said = "; ".join(f"{n} × {what}" for what, n in faults.most_common(SHOWN)) or "nothing wrong"
        yield f"| bad input: {kind} | {played[kind]} | {options.seed} | {said} ({ended}) |"


def tried(
    some: Iterable[Case], at: Ground, *, say: bool = False
) -> tuple[Counter[str], dict[str, Counter[str]]]:
    """Play cases; how many of each kind, and what was wrong, alike findings counted together."""
    played: Counter[str] = Counter()
    found: dict[str, Counter[str]] = {}
    keeper = Keeper(at)
    kept = os.environ.get("NIGHTLOAD_FUZZ_FINDINGS")
    asked_to_stop: list[int] = []
    before = signal.signal(signal.SIGTERM, lambda number, _: asked_to_stop.append(number))
    for case in some:
        if asked_to_stop:
            break
        wrong = keeper.play(case) if case["kind"] == "line" else play(case, at)
        played[case["kind"]] += 1
        for one in wrong:
            alike = found.setdefault(case["kind"], Counter())
            what = like(one)
            alike[what] += 1
            if kept and alike[what] <= SHOWN:
                with Path(kept).open("a", encoding="utf-8") as file:
                    file.write(f"{one[:600]!a}\t{text_of(case)}\n")
        if say and played.total() % 5000 == 0:
            took = f"{time.process_time():.0f} s"
            print(
                f"fuzz: {played.total()} cases, {sum(map(Counter.total, found.values()))} findings, {took}",
                file=sys.stderr,
                flush=True,
            )
    signal.signal(signal.SIGTERM, before)
    keeper.close()
    return played, found


def like(finding: str) -> str:
    """A finding without what differs from case to case."""
    return (
        re.sub(r"'[^']*'|\"[^\"]*\"|\d+(?:\.\d+)?|/\S+", "…", finding)[:110]
        .replace("|", "/")
        .replace("\n", " ")
    )
