"""The app in a terminal of its own, killed while lines are written, changed and taken back."""

from __future__ import annotations

import os
import random
import re
import select
import signal
import struct
import sys
import time
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from benching.reliability import deeds
from benching.reliability.deeds import World
from benching.terminal import ESCAPES, started
from logbook.store.copies import check
from logbook.store.log import open_log

LINES = 6
"""Lines written in one sitting before the cut, at most."""

BETWEEN_LETTERS_S = 0.9
"""Two letters sooner after each other are a word."""

ALL_AT_ONCE_S = 0.9
"""How long a line takes from its first key to "saved" at most, usually; the cut comes within it."""


@dataclass
class Window:
    """The app, and all it has written on its screen so far."""

    pid: int
    screen: int
    seen: str = ""

    def read(self, seconds: float) -> bool:
        """Read what comes within so long, at most one chunk; false when the app has ended."""
        if select.select([self.screen], [], [], seconds)[0]:
            try:
                got = os.read(self.screen, 65536)
            except OSError:
                return False
            self.seen += ESCAPES.sub("", got.decode("utf-8", "replace"))
            return bool(got)
        return True

    def until(self, pattern: str, *, most_s: float = 20.0, after: int = 0) -> bool:
        """Whether something appears after a place in what was seen."""
        end = time.perf_counter() + most_s
        while not re.search(pattern, self.seen[after:]):
            if time.perf_counter() > end or not self.read(0.05):
                return bool(re.search(pattern, self.seen[after:]))
        return True

    def type(self, keys: str) -> None:
        """Keys, all at once."""
        with suppress(OSError):
            os.write(self.screen, keys.encode())

    def kill(self) -> None:
        """SIGKILL, then read what was still under way, and tidy up."""
        with suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)
        while self.read(0.02) and select.select([self.screen], [], [], 0.0)[0]:
            pass
        os.waitpid(self.pid, 0)
        os.close(self.screen)


def opened_fresh(log: Path, *, home: Path, env: Mapping[str, str]) -> Window:
    """The app in a fresh process: the layer under it must be there from its start."""
    disturbs = ("COLUMNS", "LINES", "NIGHTLOAD_LOG", "NO_COLOR")
    clean = {name: value for name, value in os.environ.items() if name not in disturbs}
    said = {**clean, **deeds.home(home), "TERM": "xterm-256color", "COLORTERM": "truecolor", **env}
    terminal = started(["-m", "logbook", "--log", str(log)], said)
    terminal.resize(100, 30)
    return Window(pid=terminal.pid, screen=terminal.screen)


def opened(log: Path, *, home: Path, columns: int = 100, rows: int = 30) -> Window:
    """The app on a log, in a forked child with a terminal of its own."""
    import fcntl  # noqa: PLC0415 - not on Windows
    import pty  # noqa: PLC0415 - not on Windows
    import termios  # noqa: PLC0415 - not on Windows

    sys.stdout.flush()
    sys.stderr.flush()
    pid, screen = pty.fork()
    if pid == 0:
        _be_the_app(log, home)
    fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    return Window(pid=pid, screen=screen)


def _be_the_app(log: Path, home: Path) -> None:
    code = 99
    try:
        for name in ("COLUMNS", "LINES", "NIGHTLOAD_LOG", "NO_COLOR"):
            os.environ.pop(name, None)
        os.environ.update(deeds.home(home) | {"TERM": "xterm-256color", "COLORTERM": "truecolor"})
        for number, name, mode in ((0, "stdin", "r"), (1, "stdout", "w"), (2, "stderr", "w")):
            stream = open(number, mode, encoding="utf-8", closefd=False)  # noqa: SIM115 - the child's own
            setattr(sys, name, stream)
            setattr(sys, f"__{name}__", stream)
        from logbook.cli import main  # noqa: PLC0415 - loaded by the parent

        code = main(["--log", str(log)])
    finally:
        os._exit(code)


@dataclass(frozen=True)
class Act:
    """Keys pressed in the app and what the screen says when they are kept; ``notes`` is what holds after."""

    name: str
    keys: str
    says: str
    adds: str = ""
    takes: str = ""


def acts_of(dice: random.Random, sitting: int) -> list[Act]:
    """What is done in one sitting: lines, changes of the line before, and the last act taken back."""
    acts: list[Act] = []
    standing: list[str] = []
    edited = False
    was = ""  # what the last act took: undo brings it back
    for number in range(dice.randint(1, LINES)):
        kind = dice.random()
        word = f"cut{sitting}x{number}"
        if not standing or kind < 0.5:
            acts.append(Act("entry", f" note {word}\r", rf"saved\W.*{word}", adds=word))
            standing.append(word)
            was = ""
        elif kind < 0.75 and not edited:
            edited = True  # once: the arrow goes on from the row that was chosen
            old = standing.pop()
            back = "\x7f" * (len(old) + 20)
            acts.append(
                Act("edit", f"\x1b[B\r{back}note {word}\r", rf"saved\W.*{word}", adds=word, takes=old)
            )
            standing.append(word)
            was = old
        else:
            old = standing.pop()
            acts.append(Act("undo", "u", rf"Taken back\W.*{old}", adds=was, takes=old))
            break  # what u takes back next hangs on what was an act
    return acts


def rows(world: World, folder: Path, *, count: int, seed: int) -> Iterator[str]:
    """So many sittings, each ended by a kill."""
    dice = random.Random(seed)
    tally: Counter[str] = Counter()
    acknowledged = 0
    wrong: list[str] = []
    for sitting in range(count):
        place = world.copied(folder / "app")
        done, found = sitting_cut(place, dice, sitting, tally)
        acknowledged += done
        if found:
            wrong.append(found)
            print(f"bench: app kill {sitting}, seed {seed}: {found}", file=sys.stderr, flush=True)
    places = ("first frame", "entry", "edit", "undo", "after")
    where = ", ".join(f"{tally[place]} {place}" for place in places if tally[place])
    said = f"{len(wrong)} wrong" + (f" ({'; '.join(sorted(set(wrong))[:3])})" if wrong else "")
    yield (
        f"| kept through kill -9: the app in a terminal | {count} (cut in {where}), "
        f"{acknowledged} acts acknowledged | {seed} | {said} |"
    )


def sitting_cut(place: Path, dice: random.Random, sitting: int, tally: Counter[str]) -> tuple[int, str]:
    """One sitting and its end: how many acts were acknowledged, and what was wrong with the log after."""
    window = opened(place / "cabin.db", home=place)
    if dice.random() < 0.06:  # while it opens
        time.sleep(dice.random() * 0.5)
        window.kill()
        tally["first frame"] += 1
        return 0, judged(place, must=set(), may=set(), gone=set())
    if not window.until("write"):
        window.kill()
        return 0, "the app did not open: " + window.seen[-300:]
    must: set[str] = set()
    gone: set[str] = set()
    may: set[str] = set()
    count, acts = 0, acts_of(dice, sitting)
    cut = dice.randrange(len(acts))
    for number, act in enumerate(acts):
        place_seen = len(window.seen)
        time.sleep(0.45 if act.name == "undo" else 0.02)
        window.type(act.keys)
        if number == cut:
            end = time.perf_counter() + dice.random() ** 2 * ALL_AT_ONCE_S
            while (left := end - time.perf_counter()) > 0 and window.read(left):
                if re.search(act.says, window.seen[place_seen:]) and dice.random() < 0.5:
                    break
            window.kill()
            kept = bool(re.search(act.says, window.seen[place_seen:]))
            tally["after" if kept else act.name] += 1
        elif not window.until(act.says, after=place_seen):
            window.kill()
            return count, f"{act.name} was never said to be kept: ...{window.seen[place_seen:][-400:]}"
        else:
            kept = True
        if kept:
            count += 1
            must = (must | {act.adds}) - {act.takes, ""}
            gone = (gone | {act.takes}) - {act.adds, ""}
        else:
            may |= {act.adds, act.takes} - {""}
            must -= {act.takes}
            gone -= {act.adds}
        if number == cut:
            halves = (act.adds, act.takes) if act.adds and act.takes and not kept else None
            return count, judged(place, must=must, may=may, gone=gone, either=halves)
    raise AssertionError("the cut is one of the acts")


def judged(
    place: Path,
    *,
    must: set[str],
    may: set[str],
    gone: set[str],
    either: tuple[str, str] | None = None,
    begins: str = "cut",
) -> str:
    """What is wrong with the log of a sitting that was cut; empty when nothing is."""
    with open_log(place / "cabin.db", create=False) as log:
        notes = {entry.note for entry in log.entries() if entry.note and entry.note.startswith(begins)}
    found = check(place / "cabin.db")
    if not found.sound:
        return f"not sound: {found.problems[0]}"
    if must - notes:
        return f"acknowledged and not there: {sorted(must - notes)}"
    if (notes & gone) or notes - must - may:
        return f"there and should not be: {sorted((notes & gone) | (notes - must - may))}"
    if either is not None and len(notes & set(either)) != 1:
        return f"half a change: {sorted(notes)} of {either}"
    return ""


# A list ticked line by line, and a sheet copied in from paper: killed at any moment of it


def tick_cut(place: Path, dice: random.Random) -> tuple[int, str]:
    """A list ticked key by key: how many ticks were acknowledged, and what was wrong after the kill."""
    window = opened(place / "cabin.db", home=place)
    if not window.until("write"):
        window.kill()
        return 0, "the app did not open"
    window.type("g")
    window.until("v done|done")
    keys = dice.randint(1, 4)
    for number in range(keys):
        time.sleep(BETWEEN_LETTERS_S)
        window.type("v")
        if number < keys - 1:
            window.until(rf"(saved\W[^\n]*?Done.*){{{number + 1}}}", most_s=2.0)
    _some_time(window, dice, 0.5)
    window.kill()
    said = set(re.findall(r"Done \d\d:\d\d: ([^.]+)\.", window.seen))
    with open_log(place / "cabin.db", create=False) as log:
        ticks = [entry for entry in log.entries() if entry.matter is not None]
    found = check(place / "cabin.db")
    if not found.sound:
        return len(said), f"not sound: {found.problems[0]}"
    if not len(said) <= len(ticks) <= keys:
        return len(said), f"{len(said)} ticks acknowledged, {len(ticks)} in the log, {keys} keys"
    return len(said), ""


SHEET = "5 dec\t1740\t-2\t3\x1b[B1905\t\t11\x1b[B2230\t\t14\x1b[B0700\t\t9\x1b[B"


def sheet_cut(place: Path, dice: random.Random) -> tuple[int, str]:
    """A sheet of four rows kept by one Enter: whether it was acknowledged, and what was wrong after."""
    window = opened(place / "cabin.db", home=place)
    if not window.until("write"):
        window.kill()
        return 0, "the app did not open"
    with open_log(place / "cabin.db", create=False) as log:
        before = len(log.entries())
    window.type("p")
    window.until("copy|Copy")
    window.type("\r")
    time.sleep(0.3)
    window.type(SHEET)
    window.until("0700|07:00", most_s=5.0)
    window.type("\r")
    _some_time(window, dice, 0.6)
    window.kill()
    acknowledged = bool(re.search(r"saved\W.*4 rows from paper", window.seen))
    with open_log(place / "cabin.db", create=False) as log:
        added = len(log.entries()) - before
    found = check(place / "cabin.db")
    if not found.sound:
        return acknowledged, f"not sound: {found.problems[0]}"
    if added not in ((4,) if acknowledged else (0, 4)):
        return acknowledged, f"{added} of 4 rows, {'acknowledged' if acknowledged else 'not acknowledged'}"
    return acknowledged, ""


def _some_time(window: Window, dice: random.Random, most_s: float) -> None:
    end = time.perf_counter() + dice.random() * most_s
    while (left := end - time.perf_counter()) > 0 and window.read(left):
        pass


def rows_of_pages(world: World, folder: Path, *, count: int, seed: int) -> Iterator[str]:
    """So many kills in the middle of a list, and in the middle of keeping a sheet."""
    for name, cut in (("a list ticked in the app", tick_cut), ("a sheet copied in the app", sheet_cut)):
        dice = random.Random(f"{seed} {name}")
        acknowledged, wrong = 0, []
        for number in range(count):
            done, said = cut(world.copied(folder / "app"), dice)
            acknowledged += done
            if said:
                wrong.append(said)
                print(f"bench: {name}, kill {number}, seed {seed}: {said}", file=sys.stderr, flush=True)
        found = f"{len(wrong)} wrong" + (f" ({'; '.join(sorted(set(wrong))[:3])})" if wrong else "")
        yield f"| kept through kill -9: {name} | {count}, {acknowledged} acknowledged | {seed} | {found} |"
