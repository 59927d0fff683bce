"""The ground the fuzzing runs on: small logs kept as bytes, put back for each case in memory, and a watch.

Everything runs in this process, through the same function as the ``nightload`` command.
"""

from __future__ import annotations

import contextlib
import functools
import io
import os
import resource
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from benching.reliability.fuzz_said import SAID

NOW = datetime(2026, 1, 16, 20, 41, 20, tzinfo=UTC)
"""The clock of every case."""

MOST_CPU_S = 1.0
"""A case that takes more processor time than this hangs, as the promise counts it."""
MOST_WALL_S = 8.0
"""A case still waiting after this waits for what never comes. More than of CPU: the machine is shared."""

ROWS = """at,mark,indoor_c,outdoor_c,load_kg,air_open_pct,window,coals,forecast_low_c,note
2026-01-09T16:00,arrived,4.0,-2.0,1.6,100,shut,,,kindling
2026-01-09T16:30,,8.0,,3.2,60,,,,
2026-01-09T19:00,,17.5,-4.0,,30,,,,
2026-01-09T22:30,bed,20.0,-5.0,2.8,30,,good,-8,
2026-01-10T06:30,woke,12.5,-7.0,,,,none,,curtain
2026-01-10T12:00,left,17.0,-2.0,,,,,,
2026-01-16T16:00,arrived,3.0,-4.0,2.4,100,shut,,,kindling
2026-01-16T17:15,,12,,3.2,30,,,,
2026-01-16T19:30,,18.0,-6.0,,,,,,
"""
LINES = SAID["LINES_KEPT"]
"""A log that has something of every kind."""


LEAST_CPU_S = 0.01
"""A case that used less of the processor in all that time waits, s."""

MOST_MEMORY_BYTES = 3 * 1024**3
"""What a case may take of memory: a file without end ends here, and not the machine."""


class TooLongError(BaseException):
    """Raised in a case that does not come back. No Exception: nothing may take it for its own mishap."""


@dataclass
class Ground:
    """Folder in memory, the logs as bytes, what they hold, and how a command is run."""

    folder: Path
    logs: dict[str, bytes] = field(default_factory=dict)
    held: dict[str, dict[str, list[tuple[Any, ...]]]] = field(default_factory=dict)
    codes: Counter[tuple[str, int | None]] = field(default_factory=Counter)

    @property
    def log(self) -> Path:
        return self.folder / "case" / "log.db"

    def fresh(self, name: str) -> Path:
        """An empty folder with this log in it, or without one."""
        case = self.log.parent
        for old in case.iterdir() if case.exists() else ():
            with contextlib.suppress(OSError):
                old.chmod(0o700)
            shutil.rmtree(old) if old.is_dir() and not old.is_symlink() else old.unlink()
        case.mkdir(parents=True, exist_ok=True)
        if name in self.logs:
            self.log.write_bytes(self.logs[name])
        return case


@dataclass
class Ran:
    """What came of one run."""

    code: int | None
    out: str
    err: str
    fault: str = ""
    cpu_s: float = 0.0


def watched(run: Callable[[], int], *, most_cpu_s: float = MOST_CPU_S, stdin: str = "") -> Ran:
    """Run with standard streams caught and a limit on its time; whatever escapes is a fault."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    code, fault = None, ""
    keep = sys.stdin
    sys.stdin = io.TextIOWrapper(io.BytesIO(stdin.encode("utf-8", "surrogateescape")), encoding="utf-8")
    began = time.process_time()
    _WATCH[:] = [began, began + most_cpu_s]
    signal.setitimer(signal.ITIMER_REAL, MOST_WALL_S, MOST_WALL_S)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = run()
    except TooLongError:
        fault = "hang: " + _where(sys.exc_info()[2])
    except SystemExit as leaving:
        code = leaving.code if isinstance(leaving.code, int) else 0 if leaving.code is None else 1
    except Exception as error:  # noqa: BLE001 - finding these is what this is for
        fault = f"escaped: {type(error).__name__}: {str(error)[:120]} at {_where(error.__traceback__)}"
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        sys.stdin = keep
    cpu_s = time.process_time() - began
    if not fault and cpu_s > most_cpu_s:
        fault = f"hang: {cpu_s:.1f} s of processor time"
    said = [stream.buffer.getvalue().decode("utf-8", "replace") for stream in (out, err)]
    return Ran(code=code, out=said[0], err=said[1], fault=fault, cpu_s=cpu_s)


def _where(trace: Any) -> str:
    frames = [f for f in traceback.extract_tb(trace) if f"{os.sep}logbook{os.sep}" in f.filename]
    last = frames[-1] if frames else None
    return f"{Path(last.filename).name}:{last.lineno} {last.name}" if last else "outside of the program"


def held_in(path: Path) -> dict[str, list[tuple[Any, ...]]] | None:
    """Every row of the log's own tables, by name; None where it cannot be read as a log."""
    if not path.is_file():
        return None
    try:
        with contextlib.closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as db:
            db.text_factory = bytes
            names = ("event", "entry", "typed", "description", "setting")
            return {name: sorted(db.execute(f"SELECT * FROM {name}").fetchall(), key=repr) for name in names}
    except (sqlite3.Error, UnicodeDecodeError):  # SQLite may quote bytes of a damaged file that are no text
        return None


@contextlib.contextmanager
def ground() -> Iterator[Ground]:
    """Ground to run cases on; clock, homes and the learning are held still until it is left."""
    from logbook.actions import machine, opening  # noqa: PLC0415 - the program loads with the first case
    from logbook.cli import arguments, output  # noqa: PLC0415
    from logbook.heat import fit  # noqa: PLC0415

    room = Path("/dev/shm") if Path("/dev/shm").is_dir() else None
    learn, parser = fit.learn, arguments.parser
    clocks = [(module, module.datetime) for module in (opening, machine, output)]
    before = dict(os.environ)
    alarm = signal.signal(signal.SIGALRM, _stop)
    memory = resource.getrlimit(resource.RLIMIT_AS)
    resource.setrlimit(resource.RLIMIT_AS, (_used_bytes() + MOST_MEMORY_BYTES, memory[1]))
    with tempfile.TemporaryDirectory(dir=room, prefix="nightload-fuzz-") as folder:
        at = Ground(folder=Path(folder))
        os.environ.update(
            {
                "XDG_DATA_HOME": f"{folder}/data",
                "XDG_CACHE_HOME": f"{folder}/cache",
                "TZ": "UTC",
                "HOME": folder,
            }
        )
        os.environ.pop("NIGHTLOAD_LOG", None)
        time.tzset()
        for module, _ in clocks:
            module.datetime = _StillClock  # type: ignore[attr-defined]
        fit.learn = functools.partial(learn, draws=40, last_stays=1)
        arguments.parser = functools.lru_cache(parser)
        try:
            _make_logs(at)
            yield at
        finally:
            fit.learn, arguments.parser = learn, parser
            for module, clock in clocks:
                module.datetime = clock  # type: ignore[attr-defined]
            signal.signal(signal.SIGALRM, alarm)
            resource.setrlimit(resource.RLIMIT_AS, memory)
            os.environ.clear()
            os.environ.update(before)
            time.tzset()


class _StillClock(datetime):
    """``datetime`` whose now stands still; two seconds on for what is asked of a log just written."""

    @classmethod
    def now(cls, tz: Any = None) -> datetime:  # type: ignore[override]
        return NOW.astimezone(tz) if tz else NOW.replace(tzinfo=None)


def _used_bytes() -> int:
    """What this process has of memory by addresses already. Source: proc(5), statm."""
    return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0]) * resource.getpagesize()


_WATCH = [0.0, 0.0]
"""Processor time when the watch last looked, and when the case must have come back, s."""


def _stop(*_: object) -> None:
    """Stops a case that waits for what never comes, or works on without end; one that is short of processor
    time because others have it goes on."""
    now = time.process_time()
    waits, over = now - _WATCH[0] < LEAST_CPU_S, now > _WATCH[1]
    _WATCH[0] = now
    if waits or over:
        raise TooLongError


def _make_logs(at: Ground) -> None:
    """The logs cases start from, made by the program's own commands."""
    from logbook.cli import main  # noqa: PLC0415 - as above
    from logbook.description import example_toml  # noqa: PLC0415

    toml = example_toml().replace("Europe/Stockholm", "Etc/GMT-1")
    american = (
        toml.replace("Etc/GMT-1", "America/New_York").replace('temperature = "C"', 'temperature = "F"')
        .replace('mass = "kg"', 'mass = "lb"').replace('reads = "open"', 'reads = "closed"')
    )  # fmt: skip
    for name, text in (("small", toml), ("american", american), ("bare", "")):
        case = at.fresh(name)
        (case / "rows.csv").write_text(ROWS, encoding="utf-8")
        (case / "cabin.toml").write_text(text, encoding="utf-8")
        acts = [["setup", str(case / "cabin.toml")], ["import", str(case / "rows.csv")]] if text else []
        acts += [["note", "--yes", said] for said in (LINES if text else ("in 4", "bed"))]
        for words in acts:
            ran = watched(functools.partial(main, ["--log", str(at.log), *words]), most_cpu_s=60)
            if ran.code != 0 or ran.fault:
                raise SystemExit(f"fuzz: the ground for cases could not be laid: {words}: {ran}")
        with contextlib.closing(sqlite3.connect(at.log)) as db:
            db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        at.logs[name] = at.log.read_bytes()
        found = held_in(at.log)
        assert found is not None
        at.held[name] = found
    at.fresh("none")
