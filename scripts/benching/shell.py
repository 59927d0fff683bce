"""What the owner waits for: a command's answer, the app's first frame, a key; each beside its baseline."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.parts import Options
from benching.table import Aim
from benching.terminal import started
from logbook.demo import demo_description, write_demo

TIMES, KEYS = 5, "in 18 out -4 note a b c"
IDLE_S, SETTLE_S = 6.0, 5.0

BARE_APP = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        self.text = Static("x" * 400)
        yield self.text
    def on_key(self, event):
        self.text.update(str(event.key) + "x" * 400)
Bare().run()
"""
"""The baseline of the app: one widget, nothing of ours."""


@dataclass(frozen=True)
class Shown:
    """What one program showed: s, s, s from its start to its rest, per cent of a core, MB."""

    first_frame_s: float
    key_s: float
    work_s: float
    idle_pct: float
    memory_mb: float


def aims(options: Options) -> Iterator[Aim]:
    """Commands and app on a fresh copy of the demo."""
    with TemporaryDirectory(prefix="nightload-bench-") as place:
        log = Path(place) / "demo.db"
        now = write_demo(log).astimezone(demo_zone())
        environment = {
            **os.environ,
            "NIGHTLOAD_LOG": str(log),
            "XDG_CACHE_HOME": place,
            "XDG_DATA_HOME": place,
            "TERM": "xterm-256color",
            "COLUMNS": "80",
            "LINES": "24",
        }
        command = ["-m", "logbook", "tonight", "--as-of", f"{now:%Y-%m-%dT%H:%M}", "--json"]
        times = 1 if options.quick else TIMES
        yield Aim("`tonight --json`, cache cold", answered_s(command, environment, 1), " s")
        yield Aim("`tonight --json`, cache warm", answered_s(command, environment, times), " s", most=1.0)
        numpy_s = answered_s(["-c", "import numpy"], environment, times)
        yield Aim("  baseline: Python that loads numpy", numpy_s, " s")
        if os.name == "nt":
            return
        app = shown(["-m", "logbook"], environment, options)
        bare = shown(["-c", BARE_APP], environment, options)
        yield Aim("shell to the entry field", app.first_frame_s, " s")
        yield Aim("  baseline: bare Textual app", bare.first_frame_s, " s")
        yield Aim("  times the baseline", app.first_frame_s / bare.first_frame_s, most=1.5)
        yield Aim("key to its paint", 1000 * app.key_s, " ms", most=50, decimals=1)
        yield Aim("  baseline: bare Textual app", 1000 * bare.key_s, " ms", decimals=1)
        yield Aim("start to rest: all reckoned behind the first frame", app.work_s, " s", decimals=0)
        yield Aim("idle, of one core", app.idle_pct, " %", most=1.0)
        yield Aim("  baseline: bare Textual app", bare.idle_pct, " %")
        yield Aim("memory with the fit loaded", app.memory_mb, " MB", decimals=0)
        yield Aim("  baseline: bare Textual app", bare.memory_mb, " MB", decimals=0)


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


def shown(arguments: Sequence[str], environment: Mapping[str, str], options: Options) -> Shown:
    """Start a program a few times for its first frame; the last one also for keys, idling and memory."""
    frames = []
    for last in [True] if options.quick else [False] * (TIMES - 1) + [True]:
        terminal = started(arguments, environment)
        try:
            frames.append(terminal.first_frame_s())
            if last:
                terminal.settle(1.0 if options.quick else SETTLE_S)
                work_s = 0.0 if options.quick else terminal.idle_after_s()
                keys = [terminal.key_s(key) for key in (KEYS[:3] if options.quick else KEYS)]
                terminal.settle(0.5)
                began, used = time.perf_counter(), terminal.processor_s()
                terminal.settle(0.5 if options.quick else IDLE_S)
                share = (terminal.processor_s() - used) / (time.perf_counter() - began)
                memory = terminal.memory_mb()
        finally:
            terminal.end()
    return Shown(statistics.median(frames), statistics.median(keys), work_s, 100.0 * share, memory)
