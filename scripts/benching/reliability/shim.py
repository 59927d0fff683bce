"""The layer between a program and its files: compiled when needed, told what to fail, its journal read."""

from __future__ import annotations

import shutil
import struct
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

SOURCE = Path(__file__).with_name("shim.c")

_HEAD = struct.Struct("=IIIIqq")
KINDS = {
    1: "open", 2: "close", 3: "write", 4: "truncate", 5: "sync", 6: "rename", 7: "unlink", 8: "mkdir",
    9: "link", 10: "said", 11: "rmdir",
}  # fmt: skip

CREATED, EMPTIED = 1, 2
"""What an "open" did to the file."""


class NoShim(RuntimeError):  # noqa: N818 - says what is missing
    """There is no such layer on this machine; says why."""


def why_not() -> str:
    """Why this machine can't have the layer; empty when it can."""
    if not sys.platform.startswith("linux"):
        return "the layer needs Linux"
    if shutil.which("cc") is None:
        return "no C compiler (cc) is installed"
    return ""


def compiled(folder: Path) -> Path:
    """The layer as a library in a folder.

    Raises:
        NoShim: It can't be made here.
    """
    if reason := why_not():
        raise NoShim(reason)
    library = folder / "shim.so"
    done = subprocess.run(
        ["cc", "-shared", "-fPIC", "-O1", "-o", str(library), str(SOURCE), "-ldl", "-lpthread"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        raise NoShim(done.stderr[:500])
    return library


def around(
    library: Path, under: Path, *, journal: Path | None = None, fault: str = "", switch: Path | None = None
) -> Mapping[str, str]:
    """Environment that puts the layer around what a program does under a folder.

    ``fault`` is "KIND:NTH:ERRNO:STICKY", see ``shim.c``; ``switch`` a file that holds one while it exists.
    """
    said = {"LD_PRELOAD": str(library), "SHIM_UNDER": str(under)}
    if journal is not None:
        said["SHIM_JOURNAL"] = str(journal)
    if fault:
        said["SHIM_FAULT"] = fault
    if switch is not None:
        said["SHIM_SWITCH"] = str(switch)
    return said


@dataclass(frozen=True, slots=True)
class Record:
    """One thing done: on a descriptor at an offset with bytes, or on a path (and a second one)."""

    kind: str
    fd: int
    offset: int
    flags: int
    one: bytes
    two: bytes

    @property
    def path(self) -> str:
        """The path it is about."""
        return self.one.decode()


def read_journal(path: Path) -> Iterator[Record]:
    """What was done, in order."""
    content = path.read_bytes()
    at = 0
    while at < len(content):
        kind, one, two, flags, fd, offset = _HEAD.unpack_from(content, at)
        at += _HEAD.size
        yield Record(
            KINDS[kind], fd, offset, flags, content[at : at + one], content[at + one : at + one + two]
        )
        at += one + two
