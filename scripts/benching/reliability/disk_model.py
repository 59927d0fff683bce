"""A disk that remembers what is safe: what was synced stays, what was not may be lost, torn or out of order.

Files are inodes with bytes on the disk and writes still under way; names are entries of folders, on the disk
once the folder was synced. A power cut keeps of what is under way nothing, all, or any part.

The rules are those of POSIX (fsync(2): the data of a file are safe after its own sync, its name after the
folder's) and no kinder: a file's sync makes no name safe, as some file systems do. A write is torn at 512
bytes at the finest: SQLite relies on no neighbour being harmed ("powersafe overwrite", sqlite.org/psow.html;
from memory).
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from benching.reliability.shim import CREATED, EMPTIED, Record

SECTOR = 512

NAMES = ("open", "rename", "unlink", "link")
"""Records that change a folder."""


@dataclass
class Inode:
    """A file's bytes on the disk, and what is under way to it: (offset, bytes), or (size, None)."""

    safe: bytearray = field(default_factory=bytearray)
    under_way: list[tuple[int, bytes | None]] = field(default_factory=list)

    def sync(self) -> None:
        """All of it is on the disk."""
        for at, what in self.under_way:
            _apply(self.safe, at, what)
        self.under_way.clear()


@dataclass
class Disk:
    """What the records did so far. ``ends`` of a name are its folder's entry: an inode or nothing."""

    inodes: dict[int, Inode] = field(default_factory=dict)
    now: dict[str, int] = field(default_factory=dict)
    safe: dict[str, int] = field(default_factory=dict)
    under_way: list[tuple[tuple[str, int | None], ...]] = field(default_factory=list)
    handles: dict[int, int | str] = field(default_factory=dict)

    @classmethod
    def of(cls, folder: Path) -> Disk:
        """A folder as it is, all of it safe."""
        disk = cls()
        for path in folder.rglob("*"):
            if path.is_file():
                disk.now[str(path)] = disk._new(path.read_bytes())
        disk.safe = dict(disk.now)
        return disk

    def _new(self, content: bytes = b"") -> int:
        number = len(self.inodes) + 1
        self.inodes[number] = Inode(safe=bytearray(content))
        return number

    def do(self, record: Record) -> None:
        """One record more."""
        kind = record.kind
        if kind == "open":
            self._open(record)
        elif kind == "close":
            self.handles.pop(record.fd, None)
        elif kind in ("write", "truncate"):
            inode = self.handles.get(record.fd)
            if isinstance(inode, int):
                what = record.one if kind == "write" else None
                self.inodes[inode].under_way.append((record.offset, what))
        elif kind == "sync":
            self._sync(record.fd)
        elif kind == "unlink" and record.path in self.now:
            del self.now[record.path]
            self.under_way.append(((record.path, None),))
        elif kind in ("rename", "link"):
            self._rename(record)

    def _open(self, record: Record) -> None:
        path = record.path
        if record.flags & CREATED and path not in self.now:
            self.now[path] = self._new()
            self.under_way.append(((path, self.now[path]),))
        if path not in self.now:
            self.handles[record.fd] = path  # a folder
            return
        self.handles[record.fd] = self.now[path]
        if record.flags & EMPTIED:
            self.inodes[self.now[path]].under_way.append((0, None))

    def _sync(self, fd: int) -> None:
        what = self.handles.get(fd)
        if isinstance(what, int):
            self.inodes[what].sync()
        elif what is not None:
            mine = [ends for ends in self.under_way if str(PurePosixPath(ends[-1][0]).parent) == what]
            self.under_way = [ends for ends in self.under_way if ends not in mine]
            for ends in mine:
                _rename(self.safe, ends)

    def _rename(self, record: Record) -> None:
        old, new = record.path, record.two.decode()
        if old not in self.now:
            return
        number = self.now[old]
        ends: list[tuple[str, int | None]] = [(new, number)]
        if record.kind == "rename":
            ends.insert(0, (old, None))
            del self.now[old]
        self.now[new] = number
        self.under_way.append(tuple(ends))

    # After a cut

    def all_kept(self) -> dict[str, bytes]:
        """What stands there when only the program was killed."""
        return self._files(self.now, lambda inode: inode.under_way)

    def nothing_kept(self) -> dict[str, bytes]:
        """Only what is safe."""
        return self._files(self.safe, lambda _: [])

    def some_kept(self, dice: random.Random) -> dict[str, bytes]:
        """Some of what is under way: of the names mostly the first ones (a file system's own journal keeps
        their order), of the writes any, some of them torn."""
        names = dict(self.safe)
        if dice.random() < 0.75:
            kept = self.under_way[: dice.randint(0, len(self.under_way))]
        else:
            kept = [ends for ends in self.under_way if dice.random() < 0.5]
        for ends in kept:
            _rename(names, ends)
        share = dice.choice((0.0, 0.1, 0.5, 0.9, 1.0))
        return self._files(names, lambda inode: _some(inode.under_way, share, dice))

    def _files(self, names: Mapping[str, int], kept: object) -> dict[str, bytes]:
        found: dict[str, bytes] = {}
        for path, number in names.items():
            content = bytearray(self.inodes[number].safe)
            for at, what in kept(self.inodes[number]):  # type: ignore[operator]
                _apply(content, at, what)
            found[path] = bytes(content)
        return found


def _some(
    under_way: Sequence[tuple[int, bytes | None]], share: float, dice: random.Random
) -> list[tuple[int, bytes | None]]:
    kept: list[tuple[int, bytes | None]] = []
    for at, what in under_way:
        if dice.random() >= share:
            continue
        if what is None or len(what) <= SECTOR or dice.random() < 0.6:
            kept.append((at, what))
            continue
        first = SECTOR - at % SECTOR
        bounds = [0, *range(first, len(what), SECTOR), len(what)]
        kept += [(at + a, what[a:b]) for a, b in itertools.pairwise(bounds) if dice.random() < 0.5]
    return kept


def _apply(content: bytearray, at: int, what: bytes | None) -> None:
    if what is None:
        if at < len(content):
            del content[at:]
        else:
            content.extend(bytes(at - len(content)))
        return
    if at > len(content):
        content.extend(bytes(at - len(content)))
    content[at : at + len(what)] = what


def _rename(names: dict[str, int], ends: tuple[tuple[str, int | None], ...]) -> None:
    for path, number in ends:
        if number is None:
            names.pop(path, None)
        else:
            names[path] = number
