"""Every byte of a log changed, one at a time: either it is found, or nothing the log answers has changed.

Two logs: one in pages of 512 bytes, where hardly any byte is idle, every byte of it changed in its turn; and
one as the program makes it, at random places. What replaces a byte is a random other value, in half of the
cases a single bit flipped. Found means by ``check`` or by opening the log and reading all of it.
"""

from __future__ import annotations

import random
import signal
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.options import Options
from benching.reliability.all_kinds import answers, write
from logbook.errors import LogbookError
from logbook.store.log import open_log
from logbook.store.soundness import check

ACTS = 20
PAGE_SIZE = 512
PLACES = 20_000
"""Random places tried in a log in pages of 4096 bytes."""

READ_ON = 0.1
"""Share of the cases that ``check`` finds in which the log is read all the same, in search of tracebacks."""

SLOW_S = 1.0
"""Longest a case may take, s of processor time: other programs run beside."""
ENDLESS_S = 60
"""After so long by the clock a case is taken for endless and cut off."""
BEGUN_BESIDE = ("-wal", "-shm", "-journal")

FOUND, HARMLESS = "found", "harmless"
BAD = ("unseen", "traceback", "slow", "endless")
"""Outcomes that must not be: another answer and no word of it; an error that is not ours; a hang."""


def run(options: Options) -> Iterator[str]:
    """A row for each of the two logs."""
    with TemporaryDirectory(prefix="nightload-flips-") as folder:
        log = Path(folder) / "dense.db"
        write(log, acts=ACTS, seed=options.seed, page_size=PAGE_SIZE)
        size = log.stat().st_size
        count = options.how_many(size, quick=60)
        places = list(range(size)) if count >= size else sorted(_dice(options).sample(range(size), count))
        yield _row(f"every byte-flip found or harmless ({size:,} bytes)", log, places, options)
        log = Path(folder) / "cabin.db"
        write(log, acts=2 * ACTS, seed=options.seed)
        count = options.how_many(PLACES, quick=60)
        dice = _dice(options)
        places = [dice.randrange(log.stat().st_size) for _ in range(count)]
        yield _row("the same at random places of a log as it is made", log, places, options)


def _dice(options: Options) -> random.Random:
    return random.Random(options.seed)


def _row(promise: str, log: Path, places: list[int], options: Options) -> str:
    counted: Counter[str] = Counter()
    bad: list[str] = []
    for place, change, outcome in changed(log, places, random.Random(options.seed)):
        counted[outcome] += 1
        if outcome in BAD:
            bad.append(f"{outcome} at {place} (xor {change})")
    said = ", ".join(f"{counted[name]:,} {name}" for name in (FOUND, HARMLESS, *BAD))
    more = f": {'; '.join(bad[:5])}" if bad else ""
    return f"| {promise} | {len(places):,} | {options.seed} | {said}{more} |"


def changed(log: Path, places: list[int], dice: random.Random) -> Iterator[tuple[int, int, str]]:
    """Each place, what its byte was xored with, and what came of it. The log is as before at the end."""
    whole = log.read_bytes()
    with open_log(log) as sound:
        before = answers(sound)
    try:
        for place in places:
            change = dice.choice((1 << dice.randrange(8), dice.randrange(1, 256)))
            harmed = bytearray(whole)
            harmed[place] ^= change
            _put(log, bytes(harmed))
            began = time.process_time()
            outcome = _within(ENDLESS_S, log, before, read_on=dice.random() < READ_ON)
            if outcome not in BAD and time.process_time() - began > SLOW_S:
                outcome = "slow"
            yield place, change, outcome
    finally:
        _put(log, whole)


class _EndlessError(BaseException):
    """Raised by the alarm: past every ``except Exception``."""


def _within(seconds: int, log: Path, before: object, *, read_on: bool) -> str:
    """As ``came_of``, cut off after so long where the system has an alarm."""

    def ring(*_: object) -> None:
        raise _EndlessError

    if not hasattr(signal, "SIGALRM"):
        return came_of(log, before, read_on=read_on)
    former = signal.signal(signal.SIGALRM, ring)
    signal.alarm(seconds)
    try:
        return came_of(log, before, read_on=read_on)
    except _EndlessError:
        traceback.print_exc()
        return "endless"
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, former)


def _put(log: Path, content: bytes) -> None:
    for ending in BEGUN_BESIDE:
        log.with_name(log.name + ending).unlink(missing_ok=True)
    log.write_bytes(content)


def came_of(log: Path, before: object, *, read_on: bool) -> str:
    """Whether the damage is found, harmless, or worse; ``read_on`` reads what is known to be damaged too."""
    try:
        found = _found(log)
        if found and not read_on:
            return FOUND
        try:
            with open_log(log, create=False) as opened:
                same = answers(opened) == before
        except LogbookError:
            return FOUND
    except Exception:  # noqa: BLE001 - what is none of ours is what is looked for
        traceback.print_exc()
        return "traceback"
    if found:
        return FOUND
    return HARMLESS if same else "unseen"


def _found(log: Path) -> bool:
    try:
        return not check(log).sound
    except LogbookError:
        return True
