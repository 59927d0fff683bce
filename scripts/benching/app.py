"""The app as its owner waits for it, in a terminal of its own: first frame, keys, memory, a monkey.

Beside it a bare app of the same library, started by turns: what the machine is busy with weighs on both.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.monkey import KEYS as MONKEY_KEYS
from benching.monkey import Monkey
from benching.options import Options
from benching.shell import environment_of
from benching.table import Aim, aims_table
from benching.terminal import Terminal, started
from benching.told import notebook, now_of
from logbook.demo import demo_description, write_demo
from logbook.records import NewEvent
from logbook.store.log import open_log

PAIRS = 15
"""First frames of each, by turns; the first pair writes the compiled modules and isn't counted."""

LINE = "-4 note a b c d e g h "
PLAN = "4m 1/4"
IDLE_S, FITTING_S = 6.0, 5.0
TEN_YEARS_STAYS = 250

APP = ("-m", "logbook")
BARE = (
    "-c",
    """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        self.text = Static("x" * 400)
        yield self.text
    def on_key(self, event):
        self.text.update(str(event.key) + "x" * 400)
Bare().run()
""",
)
"""The baseline: one widget, nothing of ours."""


def run(options: Options) -> Iterator[str]:
    """The tables; nothing where there are no POSIX terminals."""
    if os.name == "nt":
        yield "Needs a POSIX terminal."
        return
    with TemporaryDirectory(prefix="nightload-bench-") as place:
        log = Path(place) / "demo.db"
        write_demo(log)
        environment = environment_of(place, log)
        first, spread = first_frames(environment, pairs=1 if options.quick else PAIRS)
        yield from aims_table([*first, *at_work(environment, options)])
        yield f"\n{spread}\n"
        yield from aims_table([*ten_years(Path(place), options), *monkey(Path(place), options)])


def first_frames(environment: Mapping[str, str], *, pairs: int) -> tuple[list[Aim], str]:
    """Seconds to the entry field, by turns with the bare app; and how far the ratios lie apart."""
    took: dict[tuple[str, ...], list[float]] = {APP: [], BARE: []}
    for n in range(pairs + 1):
        for program, frames in took.items():
            terminal = started(program, environment)
            try:
                seconds = terminal.first_frame_s()
            finally:
                terminal.end()
            if n:
                frames.append(seconds)
    ratios = sorted(app / bare for app, bare in zip(took[APP], took[BARE], strict=True))
    ours, bare = statistics.median(took[APP]), statistics.median(took[BARE])
    aims = [
        Aim("shell to the entry field", ours, " s"),
        Aim("  baseline: bare app", bare, " s"),
        Aim("  times the baseline, median of pairs", statistics.median(ratios), most=1.6),
        Aim("shell to what was typed before there was a screen", typed_ahead_s(environment), " s"),
    ]
    quarter = len(ratios) // 4
    return aims, (
        f"First frames: {pairs} pairs by turns; ratios {ratios[0]:.2f} to {ratios[-1]:.2f}, the middle half "
        f"{ratios[quarter]:.2f} to {ratios[-1 - quarter]:.2f}; quickest of each {min(took[APP]):.3f} s and "
        f"{min(took[BARE]):.3f} s."
    )


def typed_ahead_s(environment: Mapping[str, str]) -> float:
    """Seconds until a line typed into the waiting terminal stands in the entry field."""
    terminal = started(APP, environment)
    try:
        os.write(terminal.screen, b"-11/18")
        return terminal.until_s("-11/18", after_screen=True)
    finally:
        terminal.end()


def at_work(environment: Mapping[str, str], options: Options) -> Iterator[Aim]:
    """Keys while it learns and after, memory, idling; nothing learned before."""
    terminal = started(APP, environment)
    try:
        terminal.first_frame_s()
        keys = [terminal.key_s(key) for key in fitting_keys(quick=options.quick)]
        os.write(terminal.screen, b"\x1b")
        terminal.idle_after_s()
        yield Aim("key to its paint while it learns, median", 1000 * statistics.median(keys), " ms", most=50)
        ninth = statistics.quantiles(keys, n=20)[-1] if len(keys) > 1 else keys[0]
        yield Aim("  19 of 20 keys within", 1000 * ninth, " ms", decimals=0)
        quiet = [terminal.key_s(key) for key in LINE]
        yield Aim("key to its paint at rest", 1000 * statistics.median(quiet), " ms", most=50, decimals=1)
        yield Aim("altered plan to its chart", 1000 * altered_s(terminal), " ms", most=100, decimals=0)
        yield Aim("idle, of one core", idle_pct(terminal, options), " %", most=0.5)
        yield Aim("memory with the fit loaded", terminal.memory_mb(), " MB", most=120, decimals=0)
        yield Aim("  at its most, while it learned", terminal.memory_mb("VmHWM"), " MB", decimals=0)
    finally:
        terminal.end()
    terminal = started(BARE, environment)
    try:
        terminal.first_frame_s()
        terminal.settle(1.0)
        keys = [terminal.key_s(key) for key in LINE]
        yield Aim("  baseline: bare app, key", 1000 * statistics.median(keys), " ms", decimals=1)
        yield Aim("  baseline: bare app, idle", idle_pct(terminal, options), " %")
        yield Aim("  baseline: bare app, memory", terminal.memory_mb(), " MB", decimals=0)
    finally:
        terminal.end()


def fitting_keys(*, quick: bool) -> str:
    """A line long enough to be typed as long as it learns, 60 ms and more a key."""
    return LINE if quick else LINE * int(FITTING_S / (0.08 * len(LINE)))


def altered_s(terminal: Terminal) -> float:
    """Seconds from a key that alters a plan on Tonight to the last thing it changed; the slowest."""
    os.write(terminal.screen, b"\x1b")
    terminal.settle(0.5)
    os.write(terminal.screen, b"t")
    terminal.settle(0.5)
    terminal.idle_after_s()
    os.write(terminal.screen, b" ")
    terminal.settle(0.5)
    took = [terminal.settled_s(key) for key in PLAN]
    os.write(terminal.screen, b"\x1b")
    terminal.settle(0.5)
    return max(took[1:])  # "4" alone is a temperature, not yet a plan


def idle_pct(terminal: Terminal, options: Options) -> float:
    """Per cent of a core while nobody does anything."""
    terminal.settle(0.5)
    return terminal.busy_pct(0.5 if options.quick else IDLE_S)


def ten_years(place: Path, options: Options) -> Iterator[Aim]:
    """The same on a log of ten years of weekends."""
    rows = notebook(2 if options.quick else TEN_YEARS_STAYS)
    path = place / "ten years.db"
    with open_log(path, now=lambda: now_of(rows)) as log:
        log.add_description(demo_description())
        zone = demo_description().site.timezone
        log.add([NewEvent(entry=entry, zone=zone) for entry in rows])
    environment = environment_of(str(place), path)
    terminal = started(APP, environment)
    try:
        yield Aim(f"{len(rows)} lines in the log: shell to the entry field", terminal.first_frame_s(), " s")
        terminal.settle(1.0)
        terminal.idle_after_s()
        keys = [terminal.key_s(key) for key in LINE]
        yield Aim("  key to its paint", 1000 * statistics.median(keys), " ms", most=50, decimals=1)
        yield Aim("  slowest of these", 1000 * max(keys), " ms", decimals=0)
        yield Aim("  Enter to the line said back", 1000 * terminal.key_s("\r"), " ms", decimals=0)
    finally:
        terminal.end()


def monkey(place: Path, options: Options) -> Iterator[Aim]:
    """Random keys, clicks and sizes on a log of its own; afterwards the log is looked through."""
    log = place / "monkey.db"
    write_demo(log)
    environment = environment_of(str(place), log)
    done = Monkey(environment, APP).run(400 if options.quick else MONKEY_KEYS)
    checked = subprocess.run(
        [sys.executable, *APP, "--log", str(log), "check"], env=dict(environment), check=False,
        capture_output=True, text=True,
    )  # fmt: skip
    yield Aim("random keys over all pages and sizes", done.keys, decimals=0)
    yield Aim("  crashes", done.crashes, most=0, decimals=0)
    yield Aim("  closed by its own q and opened again", done.quits, decimals=0)
    whole = float(done.takes_a_line and not checked.returncode)
    yield Aim("  afterwards it takes a line and the log is whole (1: yes)", whole, least=1, decimals=0)
