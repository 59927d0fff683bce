"""The app on a disk that fills up, fails, can't be written, and on a log taken away while it is open."""

from __future__ import annotations

import errno
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from benching.reliability import kills_in_app
from benching.reliability.deeds import World
from benching.reliability.kills_in_app import Window
from benching.reliability.shim import around
from logbook.store.copies import check
from logbook.store.log import open_log

ROOT = Path(__file__).resolve().parents[3]

FAULTS = (
    ("write", errno.ENOSPC), ("write", errno.EIO), ("write", errno.EDQUOT), ("write", errno.EROFS),
    ("sync", errno.EIO), ("sync", errno.ENOSPC), ("any", errno.EROFS), ("any", errno.ENOSPC),
    ("any", errno.EIO),
)  # fmt: skip

REFUSED = r"stop\W"
"""How the answer row begins when something could not be done."""


def rows(world: World, folder: Path, library: Path, *, seed: int, quick: bool) -> Iterator[str]:
    """Faults while the app writes, then the log taken away under it."""
    wrong: list[str] = []
    place = world.copied(folder / "place")
    switch = folder / "switch"
    window = kills_in_app.opened_fresh(
        place / "cabin.db", home=place,
        env={**around(library, place, switch=switch), "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    count = 0
    faults = FAULTS[:3] if quick else FAULTS * 3
    try:
        window.until("write")
        for number, (kind, code) in enumerate(faults):
            count += 1
            said = faulty(window, switch, f"{kind}:{1 + number // len(FAULTS)}:{code}:1", f"cut{number}")
            if said:
                wrong.append(said)
                print(f"bench: disk, app, {errno.errorcode[code]} at {kind}: {said}", file=sys.stderr)
    finally:
        switch.unlink(missing_ok=True)
        window.kill()
    must = {f"cut{number}" for number in range(len(faults))}
    if said := kills_in_app.judged(place, must=must, may=set(), gone=set()):
        wrong.append(said)
    found = f"{len(wrong)} wrong" + (f" ({'; '.join(sorted(set(wrong))[:3])})" if wrong else "")
    yield f"| a disk that is full or fails: a line typed in the app | {count} faults | {seed} | {found} |"
    yield from _taken_away(world, folder, seed)


def faulty(window: Window, switch: Path, fault: str, word: str) -> str:
    """A line entered on a failing disk: refused in words, still in the line, kept once the disk is well."""
    window.type(f" note {word}")
    if not window.until(rf"reads\W.*{word}"):
        return "the line was not read"
    at = len(window.seen)
    switch.write_text(fault, encoding="ascii")
    window.type("\r")
    window.until(rf"{REFUSED}|saved\W.*{word}", after=at, most_s=20.0)
    refused = re.search(REFUSED, window.seen[at:])
    switch.unlink()
    shown = window.seen[at:]
    if not refused and re.search(rf"saved\W.*{word}", shown):
        return ""  # the fault hit what came after: it must be in the log, which is looked at in the end
    if not refused:
        return f"nothing was said: {shown[-200:]!r}"
    if "Traceback" in shown:
        return "a traceback"
    at = len(window.seen)
    window.type("\r")
    if not window.until(rf"saved\W.*{word}", after=at, most_s=20.0):
        return f"the line was not there any more, or not kept: {window.seen[at:][-300:]!r}"
    return ""


def _deleted(path: Path) -> None:
    path.unlink()


def _renamed(path: Path) -> None:
    path.rename(path.with_name("moved.db"))


def _replaced(path: Path) -> None:
    fresh = path.with_name("fresh.db")
    shutil.copy(path.with_name("copy.db"), fresh)
    fresh.replace(path)


def _folder_moved(path: Path) -> None:
    path.parent.rename(path.parent.with_name("elsewhere"))


TAKEN: tuple[tuple[str, Callable[[Path], None]], ...] = (
    ("deleted", _deleted), ("renamed", _renamed), ("replaced by a copy", _replaced),
    ("in a folder that was moved", _folder_moved),
)  # fmt: skip


def _taken_away(world: World, folder: Path, seed: int) -> Iterator[str]:
    for name, take in TAKEN:
        said = taken_away(world, folder, take)
        if said:
            print(f"bench: disk, app, log {name}: {said}", file=sys.stderr)
        found = f"1 wrong ({said})" if said else "0 wrong"
        yield f"| the log {name} while the app is open | 1 | {seed} | {found} |"


def taken_away(world: World, folder: Path, take: Callable[[Path], None]) -> str:
    """The log is taken away under the open app: what was acknowledged is somewhere, nothing more is said to
    be saved, the text stays, and with a log in its place again it goes on."""
    shutil.rmtree(folder / "elsewhere", ignore_errors=True)
    (folder / "home").mkdir(exist_ok=True)
    place = world.copied(folder / "away" / "inner")
    path = place / "cabin.db"
    window = kills_in_app.opened(path, home=folder / "home")
    try:
        window.until("write")
        window.type(" note cutbefore\r")
        window.until(r"saved\W.*cutbefore")
        take(path)
        at = len(window.seen)
        window.type(" note cutafter\r")
        if not window.until(REFUSED, after=at, most_s=20.0):
            return f"it went on: {window.seen[at:][-200:]!r}"
        if not any("cutbefore" in notes_of(p) for p in sorted((folder / "away").rglob("*.db"))):
            return "what was acknowledged is in none of the files"
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(world.folder / "copy.db", path)
        at = len(window.seen)
        window.type("\r")
        if not window.until(r"saved\W.*cutafter", after=at, most_s=20.0):
            return f"with a log there again it did not go on: {window.seen[at:][-300:]!r}"
    finally:
        window.kill()
    if "cutafter" not in notes_of(path):
        return "what it said was saved after is not in the log"
    return "" if check(path).sound else "the log is not sound"


def notes_of(path: Path) -> set[str]:
    """The notes of a log; of a copy, so that looking changes nothing."""
    with open_log(path, create=False) as log:
        return {entry.note for entry in log.entries() if entry.note}
