"""Two windows on one log: two apps in real terminals, with imports and lines from a shell, all at once."""

from __future__ import annotations

import os
import random
import re
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from living.terminal import NotSeen, Terminal, homes, nightload

from benching.options import Options
from logbook.demo import write_demo
from logbook.records import Act, Mark
from logbook.store.connection import connect_for_looking
from logbook.store.copies import check
from logbook.store.log import open_log

FULL, QUICK = 300, 5
"""Lines in each window. With what lies between them, about as many acts as an hour of two busy people has."""

ROWS = 5_000
"""Rows of each import: it has the log to itself for as long as they take."""

NEVER = re.compile(r"locked|being written|could not|Traceback|failed|Try again|damaged", re.IGNORECASE)
"""What nobody may be shown."""

PATIENCE_S = 180.0


@dataclass
class Heard:
    """What was acknowledged, by whom, and what should not have been shown."""

    lines: list[str] = field(default_factory=list)
    taken_back: int = 0
    woken: int = 0
    rows: int = 0
    shown: list[str] = field(default_factory=list)
    waited: int = 0


def run(options: Options) -> Iterator[str]:
    """How much of what was acknowledged is in the log."""
    count = options.how_many(FULL, quick=QUICK)
    with TemporaryDirectory() as folder:
        began = time.perf_counter()
        heard, lost, wal_mb = at_once(Path(folder), count, options.seed, rows=200 if options.quick else ROWS)
        took_s = time.perf_counter() - began
    acts = len(heard.lines) + heard.taken_back + heard.woken
    wrong = "; ".join([*lost[:3], *heard.shown[:3]]) or "0 lost, nothing of a locked log shown"
    yield (
        f"| two windows on one log, imports and lines from a shell at once | {acts} acts, {heard.rows} rows |"
        f" {options.seed} | {wrong}; write-ahead log {wal_mb:.1f} MB at most; waits told {heard.waited}×;"
        f" {took_s:.0f} s |"
    )


def at_once(folder: Path, count: int, seed: int, *, rows: int) -> tuple[Heard, list[str], float]:
    """Two apps and a shell on one log: what they heard, what is missing, the largest write-ahead log, MB."""
    log = folder / "cabin.db"
    write_demo(log)
    env = homes(folder / "home", folder / "cache")
    heard, going, wal = Heard(), threading.Event(), [0]
    going.set()
    apps = [
        threading.Thread(target=_kept(window, heard), args=(log, env, (n, count, seed), heard))
        for n in range(2)
    ]
    others = [
        threading.Thread(target=_kept(shell, heard), args=(log, env, going, rows, heard)),
        threading.Thread(target=_watch, args=(log, going, wal)),
    ]
    for thread in (*apps, *others):
        thread.start()
    for thread in apps:
        thread.join()
    going.clear()
    for thread in others:
        thread.join()
    return heard, list(missing(log, heard)), wal[0] / 1e6


def _kept(work: Callable[..., None], heard: Heard) -> Callable[..., None]:
    """What a thread raises is found, not lost with it."""

    def kept(*given: object) -> None:
        try:
            work(*given)
        except (NotSeen, OSError, subprocess.SubprocessError) as error:
            heard.shown.append(f"{work.__name__}: {str(error)[:3000]}")

    return kept


def window(log: Path, env: dict[str, str], which: tuple[int, int, int], heard: Heard) -> None:
    """One app: so many lines, each acknowledged on its screen; some taken back, a waking written between.

    Args:
        log: The log.
        env: The machine it runs on.
        which: Which window it is, how many lines, and the seed.
        heard: Where to tell.
    """
    number, count, seed = which
    rng = random.Random(f"{seed} {number}")
    with Terminal(nightload("--log", str(log)), env=env, name=f"window{number}-{os.getpid()}") as terminal:
        terminal.wait_for("Numbers write|write ", within_s=PATIENCE_S)
        for n in range(count):
            name = f"pane {number} line {n} end"
            terminal.write(f" note {name}")
            terminal.press("Enter")
            _acknowledged(terminal, f"saved .*{name}", heard)
            heard.lines.append(name)
            act = rng.random()
            if act < 0.15:
                terminal.letter("u")
                _acknowledged(terminal, "(?m)^ *back ", heard)
                heard.taken_back += 1
            elif act < 0.25:
                terminal.letter("w")
                _acknowledged(terminal, "saved .*woke", heard)
                heard.woken += 1


def _acknowledged(terminal: Terminal, pattern: str, heard: Heard) -> None:
    """Wait for it, and look at everything shown meanwhile."""
    until, waits = time.monotonic() + PATIENCE_S, False
    while time.monotonic() < until:
        shown = terminal.screen()
        if found := NEVER.search(shown):
            heard.shown.append(f"shown: {shown[max(0, found.start() - 80) : found.end() + 80]!r}")
        if "Another window is writing" in shown and not waits:
            waits, heard.waited = True, heard.waited + 1
        if re.search(pattern, shown):
            return
        time.sleep(0.01)
    raise NotSeen(f"{pattern!r} did not come. The screen:\n{terminal.screen()}")


def shell(log: Path, env: dict[str, str], going: threading.Event, rows: int, heard: Heard) -> None:
    """Imports and lines from a shell, one after the other, as long as the apps go on."""
    number = 0
    while going.is_set():
        number += 1
        table = log.parent / f"rows {number}.csv"
        table.write_text(_table(number, rows))
        if _command(log, env, ("import", str(table)), heard):
            heard.rows += rows
        name = f"shell line {number} end"
        if _command(log, env, ("note", f"note {name}"), heard):
            heard.lines.append(name)


def _table(number: int, rows: int) -> str:
    """A logger's rows of a year of its own, a minute apart."""
    year = 1971 + number % 50
    lines = [
        f"{year}-{1 + n // 40320:02d}-{1 + n // 1440 % 28:02d}T{n // 60 % 24:02d}:{n % 60:02d},"
        f"{15 + n % 7}.{number % 10}"
        for n in range(rows)
    ]
    return "\n".join(["at,indoor_c", *lines]) + "\n"


def _command(log: Path, env: dict[str, str], words: tuple[str, ...], heard: Heard) -> bool:
    done = subprocess.run(
        nightload("--log", str(log), *words),
        env={**os.environ, **env}, capture_output=True, text=True, check=False, timeout=2 * PATIENCE_S,
    )  # fmt: skip
    if done.returncode or NEVER.search(done.stderr):
        heard.shown.append(f"{words[0]}: exit {done.returncode}: {done.stderr[-400:]}")
    return done.returncode == 0


def _watch(log: Path, going: threading.Event, largest: list[int]) -> None:
    wal = log.with_name(log.name + "-wal")
    while going.is_set():
        largest[0] = max(largest[0], wal.stat().st_size if wal.exists() else 0)
        time.sleep(0.1)


def missing(log: Path, heard: Heard) -> Iterator[str]:
    """Whatever was acknowledged and is not in the log's history, which keeps what was taken back too."""
    with open_log(log, create=False) as kept:
        events = kept.events()
    recorded = {e.entry.note for e in events if e.entry is not None and e.entry.note}
    yield from (f"lost: {line}" for line in heard.lines if line not in recorded)
    undone = sum(e.act is Act.UNDO for e in events)
    if undone < heard.taken_back:
        yield f"lost: {heard.taken_back - undone} takings back"
    woke = sum(e.entry is not None and e.entry.mark is Mark.WOKE for e in events)
    if woke < heard.woken:
        yield f"lost: {heard.woken - woke} wakings"
    with closing(connect_for_looking(log)) as db:
        rows = db.execute("SELECT count(*) FROM event WHERE how IN ('imported', 'logger')").fetchone()[0]
    if rows < heard.rows:
        yield f"lost: {heard.rows - rows} imported rows"
    if not check(log).sound:
        yield f"not sound: {check(log).problems[0]}"
