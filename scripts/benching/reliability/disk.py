"""A disk that is full, fails, can't be written or is taken away, at every write of every deed and in the app.

The layer of ``shim.c`` fails the n-th call of a kind, once or from then on. Wanted each time: a sentence that
says what to do, exit code 3, the log sound with all that was acknowledged, and after the trouble the same
command works.
"""

from __future__ import annotations

import errno
import json
import os
import random
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benching.options import Options
from benching.reliability import deeds, disk_in_app, shim
from benching.reliability.deeds import DEEDS, Deed, Folder, World
from benching.reliability.forked import Child, Done, command, load_everything, run_in_child
from benching.reliability.kills import quick_folder
from benching.reliability.shim import around, compiled, read_journal

FULL = 1000

ROOT = Path(__file__).resolve().parents[3]

FAILING = {
    "open": (errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES, errno.EDQUOT),
    "write": (errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS),
    "sync": (errno.EIO, errno.ENOSPC),
    "truncate": (errno.EIO, errno.ENOSPC),
    "rename": (errno.EIO, errno.ENOSPC, errno.EROFS),
    "unlink": (errno.EIO, errno.EROFS),
    "mkdir": (errno.ENOSPC, errno.EROFS),
    "any": (errno.EROFS, errno.ENOSPC, errno.EIO),
}
"""What each kind of call may fail with."""


def _with_out(folder: Path) -> None:
    (folder / "out").mkdir()


DEEDS_TOO = (
    Deed("sheet", ("sheet", "guest", "--html", "{}/out/sheet.html"), _with_out, touches_log=False),
    Deed("report", ("report", "--season", "last", "--html", "{}/out/r.html"), _with_out, touches_log=False),
)


@dataclass(frozen=True)
class Fault:
    """The n-th call of a kind fails with an errno, and with ``lasting`` all later ones too."""

    kind: str
    nth: int
    number: int
    lasting: bool

    def __str__(self) -> str:
        return f"{self.kind}:{self.nth}:{self.number}:{int(self.lasting)}"

    @property
    def said(self) -> str:
        """For people."""
        often = "from the" if self.lasting else "the"
        return f"{errno.errorcode[self.number]} at {often} {self.nth}th {self.kind}"


class Layered:
    """Commands run in forked children of a process with the layer under it."""

    def __init__(self, library: Path, under: Path) -> None:
        self.switch = library.with_name("switch")
        self.journal = library.with_name("journal")
        self._process = subprocess.Popen(
            [sys.executable, "-c", "from benching.reliability.disk import serve; serve()"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8",
            env={**os.environ, **around(library, under, journal=self.journal, switch=self.switch),
                 "PYTHONPATH": f"{ROOT}:{ROOT / 'scripts'}", "TMPDIR": str(library.parent)},
        )  # fmt: skip

    def run(self, words: list[str], *, home: Path, fault: Fault | None) -> Done:
        """One command with a fault, or without."""
        self.journal.write_bytes(b"")
        self.switch.unlink(missing_ok=True)
        if fault is not None:
            self.switch.write_text(str(fault), encoding="ascii")
        assert self._process.stdin is not None and self._process.stdout is not None
        self._process.stdin.write(json.dumps({"words": words, "home": str(home)}) + "\n")
        self._process.stdin.flush()
        answer = json.loads(self._process.stdout.readline())
        self.switch.unlink(missing_ok=True)
        return Done(**answer)

    def close(self) -> None:
        """Let the process end."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait()


def serve() -> None:
    """The other side of ``Layered``."""
    load_everything()
    for line in sys.stdin:
        asked = json.loads(line)
        done = Child(command(asked["words"]), env=deeds.home(Path(asked["home"]))).end()
        print(json.dumps(done.__dict__), flush=True)


def run(options: Options) -> Iterator[str]:
    """A row for the commands, and rows for the app."""
    if reason := shim.why_not():
        yield f"| a disk that fails | 0 | {options.seed} | not run: {reason} |"
        return
    cases = options.how_many(FULL, quick=60)
    with tempfile.TemporaryDirectory(dir=quick_folder(), prefix="disk") as folder:
        load_everything()
        library = compiled(Path(folder))
        world = deeds.make_world(Path(folder) / "world")
        layered = Layered(library, Path(folder) / "place")
        try:
            yield from _commands(layered, world, Path(folder) / "place", cases=cases, seed=options.seed)
        finally:
            layered.close()
        yield from disk_in_app.rows(world, Path(folder), library, seed=options.seed, quick=cases < FULL)


def _commands(layered: Layered, world: World, place: Path, *, cases: int, seed: int) -> Iterator[str]:
    dice = random.Random(seed)
    all_deeds = (*DEEDS, *DEEDS_TOO)
    ends: Counter[str] = Counter()
    wrong: list[str] = []
    count = 0
    for deed in all_deeds:
        before, after, faults = measured(layered, deed, world, place)
        for fault in dice.sample(faults, min(len(faults), max(1, cases // len(all_deeds)))):
            count += 1
            deed.prepare(world.copied(place))
            done = layered.run(deed.said(place, entry_id=world.entry_id), home=place, fault=fault)
            ends["went through" if done.code == 0 else "refused"] += 1
            said = wrong_with(deed, done, world, place, before=before, after=after)
            if said:
                wrong.append(f"{deed.name}: {said}")
                print(f"bench: disk, {deed.name}, {fault.said} ({fault}): {said}", file=sys.stderr)
    found = f"{len(wrong)} wrong" + (f" ({'; '.join(sorted(set(wrong))[:3])})" if wrong else "")
    yield (
        f"| a disk that is full, fails or can't be written: {len(all_deeds)} commands | {count} faults "
        f"({ends['refused']} refused in words, {ends['went through']} went through) | {seed} | {found} |"
    )


def measured(layered: Layered, deed: Deed, world: World, place: Path) -> tuple[Folder, Folder, list[Fault]]:
    """What the deed leaves undisturbed, and every fault that may hit it."""
    deed.prepare(world.copied(place))
    before = deeds.looked_at(place)
    deed.prepare(world.copied(place))
    done = layered.run(deed.said(place, entry_id=world.entry_id), home=place, fault=None)
    if done.code != 0:
        raise RuntimeError(f"{deed.name}: {done.complaint}")
    calls = Counter(record.kind for record in read_journal(layered.journal))
    calls["any"] = sum(calls.values()) // 2
    faults = [
        Fault(kind, nth, number, lasting)
        for kind, numbers in FAILING.items()
        for nth in range(1, calls[kind] + 1)
        for number in numbers
        for lasting in (True, False)
        if not (kind == "any" and not lasting)
    ]
    return before, deeds.looked_at(place), faults


def wrong_with(deed: Deed, done: Done, world: World, place: Path, *, before: Folder, after: Folder) -> str:
    """What is wrong after a fault; empty when nothing is."""
    complaint = done.complaint.strip()
    if "Traceback" in complaint:
        return "a traceback: " + complaint.splitlines()[-1]
    if done.code not in (0, 3):
        return f"exit code {done.code}: {complaint}"
    if done.code == 3 and len(complaint.splitlines()) < 2:
        return f"it does not say what to do: {complaint}"
    found = deeds.looked_at(place)
    only_read = "it is read as it stands" in complaint and deed.name.startswith("migration")
    acknowledged = done.code == 0 and not only_read
    said = deeds.wrong_with(deed, found, before=before, after=after, acknowledged=acknowledged)
    told = "No copy of the log could be made" in complaint and said == "the log as it was is not kept"
    if said and not told:
        return f"{said} [{done.code}: {complaint}]"
    if done.code == 3 and "othing was" in complaint and found.log != before.log and not before.log.unreadable:
        return f"it is there, but was said not to be: {complaint}"
    words = deed.said(place, entry_id=world.entry_id)
    again = run_in_child(words, env=deeds.home(place))
    usual = ("was taken out", "Nothing was taken back", "Nothing this device")
    if again.code != 0 and not any(text in again.complaint for text in usual):
        return f"not possible again: {again.complaint} [after {complaint}]"
    return ""
