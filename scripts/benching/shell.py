"""What the owner waits for at the shell: a command's answer, beside Python's own start."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.options import Options
from benching.table import Aim
from logbook.demo import demo_description, write_demo

TIMES = 5
NOT_AN_OWNERS = ("PYTHONDONTWRITEBYTECODE", "COLUMNS", "LINES")
"""A size in the environment would be believed before the window's own: resizing would change nothing."""


def aims(options: Options) -> Iterator[Aim]:
    """Commands on a fresh copy of the demo."""
    with TemporaryDirectory(prefix="nightload-bench-") as place:
        log = Path(place) / "demo.db"
        now = write_demo(log).astimezone(demo_zone())
        environment = environment_of(place, log)
        command = ["-m", "logbook", "tonight", "--as-of", f"{now:%Y-%m-%dT%H:%M}", "--json"]
        times = 1 if options.quick else TIMES
        yield Aim("`tonight --json`, cache cold", answered_s(command, environment, 1), " s")
        yield Aim("`tonight --json`, cache warm", answered_s(command, environment, times), " s", most=1.0)
        numpy_s = answered_s(["-c", "import numpy"], environment, times)
        yield Aim("  baseline: Python that loads numpy", numpy_s, " s")


def environment_of(place: str, log: Path) -> dict[str, str]:
    """An owner's: compiled modules are kept from one start to the next, as an installed program's are."""
    environment = {name: value for name, value in os.environ.items() if name not in NOT_AN_OWNERS}
    return {
        **environment,
        "PYTHONPYCACHEPREFIX": str(Path(place) / "compiled"),
        "NIGHTLOAD_LOG": str(log),
        "XDG_CACHE_HOME": place,
        "XDG_DATA_HOME": place,
        "TERM": "xterm-256color",
    }


def demo_zone() -> object:
    """The demo's time zone."""
    from zoneinfo import ZoneInfo  # noqa: PLC0415 - one place

    return ZoneInfo(demo_description().site.timezone)


def answered_s(arguments: Sequence[str], environment: Mapping[str, str], times: int) -> float:
    """Median seconds of a command, from start to end."""
    took = []
    for _ in range(times):
        began = time.perf_counter()
        subprocess.run(
            [sys.executable, *arguments], env=dict(environment), check=True, stdout=subprocess.DEVNULL
        )
        took.append(time.perf_counter() - began)
    return statistics.median(took)
