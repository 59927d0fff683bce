"""Power cuts: each deed is watched below SQLite, and the disk rebuilt as it may stand at any moment of it.

A layer writes down every write, sync and rename (``shim.c``). From that, states of the disk are made as a cut
after each of them may leave it (``disk_model.py``), and each is opened as after a start: the log is sound,
what was acknowledged before the cut is there, what was going on is there whole or not at all.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from benching.options import Options
from benching.reliability import deeds, kills_in_app, shim
from benching.reliability.deeds import DEEDS, Deed, Folder, World
from benching.reliability.disk_model import Disk
from benching.reliability.forked import load_everything
from benching.reliability.kills import quick_folder
from benching.reliability.shim import Record, around, compiled, read_journal
from benching.terminal import ESCAPES

FULL = 5000

ROOT = Path(__file__).resolve().parents[3]

TELLING = ("sync", "rename", "unlink", "truncate", "said", "open")
"""Records after which a cut is always looked at; of the writes in between as many as there are cases left."""


@dataclass(frozen=True)
class Watched:
    """A deed, the records of it, and what it leaves."""

    deed: Deed
    start: Path
    records: tuple[Record, ...]
    before: Folder
    after: Folder


def run(options: Options) -> Iterator[str]:
    """A row for each group of deeds."""
    if reason := shim.why_not():
        yield f"| kept through a power cut | 0 | {options.seed} | not run: {reason} |"
        return
    cases = options.how_many(FULL, quick=170)
    with tempfile.TemporaryDirectory(dir=quick_folder(), prefix="power") as folder:
        load_everything()
        library = compiled(Path(folder))
        world = deeds.make_world(Path(folder) / "world")
        counted: dict[str, tuple[int, int, list[str]]] = {}
        for deed in DEEDS:
            watched = watch(deed, world, Path(folder), library)
            counted[deed.name] = cut(watched, count=cases // (len(DEEDS) + 2), seed=options.seed)
        yield from _rows(counted, options.seed)
        of_app = 2 * cases // (len(DEEDS) + 2)
        yield from sitting(world, Path(folder), library, count=of_app, seed=options.seed)


def _rows(counted: dict[str, tuple[int, int, list[str]]], seed: int) -> Iterator[str]:
    groups = (
        ("entry", "edit", "remove", "undo", "redo", "setup", "list", "first entry"), ("import",), ("merge",),
        ("backup", "export"), ("migration", "migration, writing"),
        ("restore", "restore, ruined", "restore, none"),
    )  # fmt: skip
    for names in groups:
        states = sum(counted[name][0] for name in names)
        moments = sum(counted[name][1] for name in names)
        wrong = [f"{name}: {said}" for name in names for said in counted[name][2]]
        yield _row(", ".join(names), states, moments, seed, wrong)


def _row(what: str, states: int, moments: int, seed: int, wrong: list[str]) -> str:
    said = f"{len(wrong)} wrong" + (f" ({'; '.join(sorted(set(wrong))[:3])})" if wrong else "")
    return f"| kept through a power cut: {what} | {states} states of {moments} moments | {seed} | {said} |"


def watch(deed: Deed, world: World, folder: Path, library: Path) -> Watched:
    """Do a deed once, in a fresh process with the layer under it.

    Raises:
        RuntimeError: It did not succeed.
    """
    start, place, journal = folder / "start", folder / "cut", folder / "journal"
    journal.unlink(missing_ok=True)
    deed.prepare(world.copied(start))
    deed.prepare(world.copied(place))
    words = [sys.executable, "-m", "logbook", *deed.said(place, entry_id=world.entry_id)]
    done = subprocess.run(
        words, capture_output=True, text=True, check=False,
        env={**os.environ, **deeds.home(place), **around(library, place, journal=journal),
             "PYTHONPATH": str(ROOT), "TMPDIR": str(folder)},
    )  # fmt: skip
    if done.returncode:
        raise RuntimeError(f"{deed.name}: {done.stderr}")
    after = deeds.looked_at(place)
    deed.prepare(world.copied(place))
    return Watched(deed, start, tuple(read_journal(journal)), deeds.looked_at(place), after)


def moments_of(records: Sequence[Record], count: int, dice: random.Random) -> list[int]:
    """After how many records to cut: after each telling one, and after writes drawn for the rest."""
    telling = [i + 1 for i, record in enumerate(records) if record.kind in TELLING]
    other = [i + 1 for i, record in enumerate(records) if record.kind not in TELLING]
    if len(telling) > count:
        telling = dice.sample(telling, count)
    drawn = dice.sample(other, min(len(other), max(0, count - len(telling))))
    return sorted({*telling, *drawn})


def cut(watched: Watched, *, count: int, seed: int) -> tuple[int, int, list[str]]:
    """So many states of the disk; how many, at how many moments, and what was wrong with them."""
    dice = random.Random(f"{seed} {watched.deed.name}")
    moments = moments_of(watched.records, count // 4, dice)
    place = watched.start.with_name("cut")
    disk = _disk_of(watched.start, place)
    wrong: list[str] = []
    states = 0
    acknowledged = False
    for number, record in enumerate(watched.records, start=1):
        disk.do(record)
        acknowledged = acknowledged or record.kind == "said"
        if number not in moments:
            continue
        for files in states_at(disk, dice, max(2, count // len(moments))):
            states += 1
            put(files, place)
            found = deeds.looked_at(place)
            said = deeds.wrong_with(
                watched.deed, found, before=watched.before, after=watched.after, acknowledged=acknowledged
            )
            if said:
                wrong.append(said)
                print(
                    f"bench: power, {watched.deed.name}, seed {seed}, after record {number} ({record.kind} "
                    f"{_of(record, watched.records[:number])}): {said}",
                    file=sys.stderr,
                )
    return states, len(moments), wrong


def states_at(disk: Disk, dice: random.Random, count: int) -> Iterator[dict[str, bytes]]:
    """What may stand on the disk after a cut now: all, nothing, and parts of what is under way."""
    made = [disk.all_kept(), disk.nothing_kept()]
    yield made[0]
    if made[1] != made[0]:
        yield made[1]
        for _ in range(count - 2):
            yield disk.some_kept(dice)


def put(files: dict[str, bytes], place: Path) -> None:
    """A state of the disk, as a folder."""
    shutil.rmtree(place, ignore_errors=True)
    place.mkdir()
    for name, content in files.items():
        path = Path(name)
        if not path.name.endswith("-shm"):  # shared memory; never synced, made anew after a start
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)


def _disk_of(start: Path, place: Path) -> Disk:
    """The disk before the deed, under the names of the folder in which it was done."""
    disk = Disk.of(start)
    for names in (disk.now, disk.safe):
        for name in list(names):
            names[str(place / Path(name).relative_to(start))] = names.pop(name)
    return disk


def _of(record: Record, so_far: Sequence[Record]) -> str:
    if record.kind in ("open", "rename", "unlink"):
        return Path(record.path).name
    opened = [r for r in so_far if r.kind == "open" and r.fd == record.fd]
    return Path(opened[-1].path).name if opened else ""


def sitting(world: World, folder: Path, library: Path, *, count: int, seed: int) -> Iterator[str]:
    """The app in a terminal with the layer under it: lines, half a line, and left."""
    place, journal = folder / "cut", folder / "journal"
    start = world.copied(folder / "start")
    world.copied(place)
    journal.unlink(missing_ok=True)
    window = kills_in_app.opened_fresh(
        place / "cabin.db", home=place,
        env={**around(library, place, journal=journal), "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    words = []
    try:
        window.until("write")
        for number in range(4):
            words.append(f"line{number}")
            window.type(f" note line{number}\r")
            window.until(rf"saved\W.*line{number}")
        window.type(" -11/1")
        window.until("reads")
        window.until("never", most_s=1.6)  # rests: the half line is kept
        window.type("\x03")
        while window.read(1.0):
            pass
    finally:
        window.kill()
    records = tuple(read_journal(journal))
    dice, disk, text = random.Random(seed), _disk_of(start, place), ""
    moments = moments_of([r for r in records if r.kind != "said"], count // 4, dice)
    wrong, states, number = [], 0, 0
    for record in records:
        disk.do(record)
        if record.kind == "said":
            text += ESCAPES.sub("", record.one.decode("utf-8", "replace"))
            continue
        number += 1
        if number not in moments:
            continue
        must = {word for word in words if re.search(rf"saved\W.*{word}", text)}
        for files in states_at(disk, dice, 6):
            states += 1
            put(files, place)
            if said := kills_in_app.judged(place, must=must, may=set(words), gone=set(), begins="line"):
                wrong.append(said)
                print(f"bench: power, app, seed {seed}, after record {number}: {said}", file=sys.stderr)
    if len([word for word in words if re.search(rf"saved\W.*{word}", text)]) != len(words):
        wrong.append("the app did not say that it saved its lines")
    yield _row("a sitting at the app", states, len(moments), seed, wrong)
