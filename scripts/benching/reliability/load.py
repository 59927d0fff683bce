"""A log of thirty years: what each thing takes, beside the same on a log of one year.

Seconds are of the processor, so that others at work on the machine don't count; peaks are the process's own
memory. Each thing is a command in a process of its own, as its owner runs it.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.options import Options
from benching.shell import environment_of
from benching.terminal import started
from benching.years import LAST_DAY, Size, write_years
from logbook.store.log import open_log

SMALL = Size(years=1, events=1_500, logger_rows=0)
FULL = Size()
QUICK = Size(years=2, events=2_000, logger_rows=3_000)

MOST_NOTE_S, MOST_ANSWER_S = 0.5, 1.0
"""Aims, processor seconds: a line kept, an answer given."""

_RUN = """
import resource, sys
from logbook.__main__ import ONE_THREAD
import os
for name in ONE_THREAD: os.environ.setdefault(name, "1")
from logbook.cli import main
code = main(sys.argv[1:])
used = resource.getrusage(resource.RUSAGE_SELF)
print(f"\\nTOOK {used.ru_utime + used.ru_stime} {used.ru_maxrss}", file=sys.stderr)
sys.exit(code)
"""

LOGGER_TABLE = "logger.csv"
PAIRS = 3
LINE = "note a b c d e g h "


@dataclass(frozen=True)
class Took:
    """What one command took, s of the processor and MB, and what it left with."""

    seconds: float
    peak_mb: float
    code: int
    said: str


@dataclass(frozen=True)
class Opened:
    """The app opened once: seconds to the first frame by the clock and of the processor, a key, Enter."""

    frame_s: float
    frame_used_s: float
    key_s: float
    enter_s: float


OPENED: tuple[tuple[str, Callable[[Opened], float]], ...] = (
    ("app to the entry field, of the processor", lambda one: 1000 * one.frame_used_s),
    ("app to the entry field, by the clock", lambda one: 1000 * one.frame_s),
    ("key to its paint, by the clock", lambda one: 1000 * one.key_s),
    ("Enter to its first paint, by the clock", lambda one: 1000 * one.enter_s),
)


def run(options: Options) -> Iterator[str]:
    """Rows of the reliability table; nothing where a process's memory can't be asked for."""
    if os.name == "nt":
        yield "| load | 0 | - | needs a POSIX system |"
        return
    size = QUICK if options.quick else FULL
    with TemporaryDirectory(prefix="nightload-load-", dir=_room()) as place:
        folder = Path(place)
        for name, one in (("small", SMALL), ("long", size)):
            write_years(folder / f"{name}.db", one, seed=options.seed)
        table = folder / LOGGER_TABLE
        rows = size.logger_rows
        write_logger_table(table, rows)
        yield from _rows(folder, table, rows, options)


def _rows(folder: Path, table: Path, rows: int, options: Options) -> Iterator[str]:
    with open_log(folder / "long.db", create=False) as log:
        events = log.connection.execute("SELECT count(*) FROM event").fetchone()[0]
    failed = 0
    for what, took_it in opening(folder, pairs=1 if options.quick else PAIRS):
        yield f"| load: {what} | {events:,} events | {options.seed} | {took_it} |"
    for what, arguments in questions(folder):
        small, long = (took(folder, name, arguments) for name in ("small", "long"))
        failed += bool(long.code) + bool(small.code)
        year = f"(log of a year {small.seconds:.2f} s, {small.peak_mb:.0f} MB)"
        took_it = f"{long.seconds:.2f} s, {long.peak_mb:.0f} MB {year}{_why_not(long)}{_why_not(small)}"
        yield f"| load: {what} | {events:,} events | {options.seed} | {took_it} |"
    for what, name, arguments in heavy(folder, table):
        one = took(folder, name, arguments)
        failed += bool(one.code)
        said = one.said.splitlines()[0] if one.said else ""
        took_it = f"{one.seconds:.1f} s, {one.peak_mb:.0f} MB; {said}"
        yield f"| load: {what} | {rows:,} logger rows | {options.seed} | {took_it} |"
    yield f"| load: commands that failed | {len(list(questions(folder)))} | {options.seed} | {failed} |"


def _why_not(one: Took) -> str:
    return f"; {one.said.splitlines()[0]}" if one.code else ""


def opening(folder: Path, *, pairs: int) -> Iterator[tuple[str, str]]:
    """The app on both logs by turns: what it takes to the entry field, and how soon keys and Enter show."""
    found: dict[str, list[Opened]] = {"small": [], "long": []}
    for n in range(pairs + 1):
        for name, opened in found.items():
            one = opened_app(folder, name)
            if n or pairs == 1:  # the first pair writes the compiled modules
                opened.append(one)
    for what, of in OPENED:
        small, long = (statistics.median(of(one) for one in found[name]) for name in ("small", "long"))
        yield what, f"{long:.0f} ms (log of a year {small:.0f} ms)"


def opened_app(folder: Path, name: str) -> Opened:
    """Open the app on a log once, type a line and keep it."""
    home = folder / f"home {name}"
    home.mkdir(exist_ok=True)
    terminal = started(("-m", "logbook"), environment_of(str(home), folder / f"{name}.db"))
    try:
        frame_s, frame_used = terminal.first_frame_s(), terminal.processor_s()
        terminal.settle(1.0)
        terminal.idle_after_s()
        keys = [terminal.key_s(key) for key in LINE]
        terminal.idle_after_s()
        return Opened(frame_s, frame_used, statistics.median(keys), terminal.key_s("\r"))
    finally:
        terminal.end()


def questions(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """What is asked of both logs, the second ``tonight`` with what the first learned kept."""
    at = ["--as-of", f"{LAST_DAY + timedelta(days=1, hours=9):%Y-%m-%dT%H:%M}"]
    yield "`note`", ["note", "19"]
    yield "`undo`", ["undo"]
    for name in ("due", "wood", "bring", "stays", "arrive", "leave"):
        yield f"`{name}`", [name, *at]
    yield "`tonight`, cold", ["tonight", *at]
    yield "`tonight`, warm", ["tonight", *at]
    yield "`arrive`, warm", ["arrive", *at]


def heavy(folder: Path, table: Path) -> Iterator[tuple[str, str, list[str]]]:
    """What goes through all of the long log, once: name, log, arguments."""
    out = str(folder / "out")
    yield "`check`", "long", ["check"]
    yield "`backup`", "long", ["backup", str(folder / "copies")]
    yield "`export`", "long", ["export", out]
    yield "`import DIR` into an empty log", "again", ["import", out]
    yield "`import DIR` a second time", "again", ["import", out]
    yield "`merge` of the same log", "again", ["merge", str(folder / "long.db")]
    yield "`import` of a logger's table", "table", ["import", str(table)]
    yield "`import` of the same table again", "table", ["import", str(table)]


def took(folder: Path, name: str, arguments: list[str]) -> Took:
    """Run a command on a log."""
    home = folder / f"home {name}"
    home.mkdir(exist_ok=True)
    environment: Mapping[str, str] = environment_of(str(home), folder / f"{name}.db")
    done = subprocess.run(
        [sys.executable, "-c", _RUN, *arguments], env=dict(environment), capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    told = [line.split() for line in done.stderr.splitlines() if line.startswith("TOOK ")]
    seconds, peak = (float(told[-1][1]), float(told[-1][2]) / 1024) if told else (0.0, 0.0)
    if sys.platform == "darwin":
        peak /= 1024  # there it is told in bytes
    said = done.stdout if done.returncode == 0 else f"FAILED: {done.stderr}"
    return Took(seconds=seconds, peak_mb=peak, code=done.returncode, said=said)


def write_logger_table(path: Path, rows: int) -> None:
    """A logger's table: so many steps of ten minutes up to the last day."""
    with path.open("w", encoding="utf-8") as file:
        file.write("at,indoor_c,rh_pct\n")
        since: datetime = LAST_DAY - rows * timedelta(minutes=10)
        for n in range(rows):
            at = since + n * timedelta(minutes=10)
            file.write(f"{at:%Y-%m-%dT%H:%M}Z,{4 + n * 7 % 200 / 10:.1f},{50 + n % 30}\n")


def _room() -> str | None:
    """A folder in memory with room for a few GB, where there is one: the disk is not what is asked about."""
    shared = Path("/dev/shm")
    return str(shared) if shared.is_dir() and shutil.disk_usage(shared).free > 6 * 10**9 else None
