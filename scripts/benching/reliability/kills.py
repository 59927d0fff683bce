"""``kill -9`` at random moments: in commands, in fresh processes, and in the app in a terminal.

After each kill the folder is looked at as a person would: the log opens and is sound, what was acknowledged
(the command's sentence was printed, the app said "saved") is there, and what was going on is there whole or
not at all. Then the same command is given again: nothing left behind may stand in its way.
"""

from __future__ import annotations

import os
import random
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from benching.options import Options
from benching.reliability import deeds, kills_in_app
from benching.reliability.deeds import DEEDS, Deed, Folder, World
from benching.reliability.forked import Child, Done, command, load_everything, run_in_child

FULL = 1000
IN_APP, FRESH = 0.25, 0.16
"""Shares of the kills that hit the app in its terminal, and a fresh process of the command; the others hit
forked children, which run the same command without the half second of starting Python."""

AIMED = 0.6
"""Share of the kills that wait for the first byte written and come at random after it; the others come at any
moment from the start to a little after the usual end."""

POLL_S = 0.0003


@dataclass
class Tally:
    """What was counted, by deed and by where in it the kill came."""

    killed: Counter[tuple[str, str]] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def row(self, what: str, names: tuple[str, ...], seed: int) -> str:
        """A table row over some of the deeds."""
        count = {
            when: sum(self.killed[name, when] for name in names) for when in ("before", "during", "after")
        }
        found = [w for w in self.wrong if w.split(":")[0] in names]
        said = f"{len(found)} wrong" + (f" ({'; '.join(sorted(set(found))[:3])})" if found else "")
        return (
            f"| kept through kill -9: {what} | {sum(count.values())} ({count['before']} before, "
            f"{count['during']} during, {count['after']} after) | {seed} | {said} |"
        )


@dataclass(frozen=True)
class Known:
    """A deed and what it leaves when nobody disturbs it."""

    deed: Deed
    before: Folder
    after: Folder
    took_s: float
    writes_s: float


def run(options: Options) -> Iterator[str]:
    """A row for each way of killing."""
    cases = options.how_many(FULL, quick=40)
    in_app, fresh = int(cases * IN_APP), int(cases * FRESH)
    with tempfile.TemporaryDirectory(dir=quick_folder(), prefix="kills") as folder:
        load_everything()
        world = deeds.make_world(Path(folder) / "world")
        known = [measured(deed, world, Path(folder) / "once") for deed in DEEDS]
        tally = kill_commands(known, world, Path(folder), count=cases - in_app - fresh, seed=options.seed)
        for group in ("entry edit remove undo redo setup list", "import", "merge", "backup export"):
            yield tally.row(group.replace(" ", ", "), _named(group), options.seed)
        for group in ("first entry", "migration", "restore"):
            yield tally.row(group, tuple(d.name for d in DEEDS if d.name.startswith(group)), options.seed)
        tally = kill_commands(known, world, Path(folder), count=fresh, seed=options.seed + 1, fresh=True)
        yield tally.row("fresh processes of all of these", tuple(d.name for d in DEEDS), options.seed + 1)
        lines = in_app - 2 * (in_app // 5)
        yield from kills_in_app.rows(world, Path(folder), count=lines, seed=options.seed + 2)
        yield from kills_in_app.rows_of_pages(world, Path(folder), count=in_app // 5, seed=options.seed + 3)


def _named(group: str) -> tuple[str, ...]:
    return tuple(group.split()) if group != "first entry" else (group,)


def quick_folder() -> str | None:
    """Memory, where there is such a folder: what is lost in a kill is the same on a disk."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


def measured(deed: Deed, world: World, folder: Path) -> Known:
    """What a deed leaves, how long it takes, and how long it writes."""
    deed.prepare(world.copied(folder))
    before = deeds.looked_at(folder)
    took, writes = [], []
    for _ in range(3):
        deed.prepare(world.copied(folder))
        untouched = deeds.changed(folder)
        child = Child(command(deed.said(folder, entry_id=world.entry_id)), env=deeds.home(folder))
        began = _until_written(child, folder, untouched)
        done = child.end()
        if done.code != 0:
            raise RuntimeError(f"{deed.name}: {done.said}{done.complaint}")
        took.append(done.took_s)
        writes.append(max(0.001, child.began + done.took_s - began))
    return Known(
        deed=deed, before=before, after=deeds.looked_at(folder), took_s=statistics.median(took),
        writes_s=statistics.median(writes),
    )  # fmt: skip


def kill_commands(
    known: list[Known], world: World, folder: Path, *, count: int, seed: int, fresh: bool = False
) -> Tally:
    """So many kills, over the deeds in turn."""
    dice, tally = random.Random(seed), Tally()
    for number in range(count):
        one = known[number % len(known)]
        place = one.deed.prepare(world.copied(folder / "cut")) or folder / "cut"
        when, done = (_kill_fresh if fresh else _kill)(one, world, place, dice)
        tally.killed[one.deed.name, when] += 1
        if wrong := after_the_kill(one, world, place, done):
            tally.wrong.append(f"{one.deed.name}: {wrong}")
            print(f"bench: kill {number}, seed {seed}: {tally.wrong[-1]}", file=sys.stderr, flush=True)
    return tally


def after_the_kill(one: Known, world: World, place: Path, done: Done) -> str:
    """What is wrong with the folder, and with giving the command again; empty when nothing is."""
    acknowledged = done.code == 0 or "\n" in done.said
    if done.code not in (0, None):
        return f"it complained: {done.complaint}"
    found = deeds.looked_at(place)
    if wrong := deeds.wrong_with(
        one.deed, found, before=one.before, after=one.after, acknowledged=acknowledged
    ):
        return wrong
    words = one.deed.said(place, entry_id=world.entry_id)
    again = run_in_child(words, env=deeds.home(place))
    refused = again.code != 0 and not (one.deed.name == "remove" and "was taken out" in again.complaint)
    if refused and not (one.deed.name == "redo" and "Nothing" in again.complaint):
        return f"not possible again: {again.complaint}"
    return ""


def _kill(one: Known, world: World, place: Path, dice: random.Random) -> tuple[str, Done]:
    words = one.deed.said(place, entry_id=world.entry_id)
    untouched = deeds.changed(place)
    child = Child(command(words), env=deeds.home(place))
    if dice.random() < AIMED:
        _until_written(child, place, untouched)
        delay_s = dice.random() * one.writes_s * 0.7
    else:
        delay_s = dice.random() * one.took_s * 1.15
    _wait(child, delay_s)
    child.kill()
    done = child.end()
    return _when(done, changed=deeds.changed(place) != untouched), done


def _kill_fresh(one: Known, world: World, place: Path, dice: random.Random) -> tuple[str, Done]:
    words = [sys.executable, "-m", "logbook", *one.deed.said(place, entry_id=world.entry_id)]
    untouched = deeds.changed(place)
    root = str(Path(__file__).resolve().parents[3])
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
        env={**os.environ, **deeds.home(place), "PYTHONPATH": root},
    ) as process:  # fmt: skip
        until = time.perf_counter() + 30.0
        while process.poll() is None and deeds.changed(place) == untouched and time.perf_counter() < until:
            time.sleep(POLL_S)
        time.sleep(dice.random() * (one.writes_s * 1.1 + 0.02))
        process.send_signal(signal.SIGKILL)
        said, complaint = process.communicate()
    code = process.returncode
    done = Done(code=code if code >= 0 else None, said=said, complaint=complaint, took_s=0.0)
    return _when(done, changed=deeds.changed(place) != untouched), done


def _when(done: Done, *, changed: bool) -> str:
    if done.code == 0 or "\n" in done.said:
        return "after"
    return "during" if changed else "before"


def _until_written(child: Child, folder: Path, untouched: tuple[tuple[str, int], ...]) -> float:
    """When the child first changed a file, or ended."""
    until = time.perf_counter() + 20.0
    while deeds.changed(folder) == untouched and child.read(POLL_S) and time.perf_counter() < until:
        pass
    return time.perf_counter()


def _wait(child: Child, seconds: float) -> None:
    until = time.perf_counter() + seconds
    while (left := until - time.perf_counter()) > 0 and child.read(left):
        pass
