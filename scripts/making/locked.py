"""The exact versions the project is tried with: files of pins with the hashes of every file of each.

``source`` builds the libraries that come as source only, ``run`` is what the program runs on, ``build`` adds
what installs it, ``dev`` lint, types and tests, ``bench`` what the figures are held against. Each names
the one before with ``-r``.
"""

from __future__ import annotations

import re
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[1] / "locked"

PARTS = ("source", "run", "build", "dev", "bench")

_PIN = re.compile(r"^([\w.-]+)==([\w.]+)", re.MULTILINE)


def pins(part: str, *, alone: bool = False) -> dict[str, str]:
    """Name and version of everything locked for a part, with the parts before it unless ``alone``."""
    parts = [part] if alone else PARTS[: PARTS.index(part) + 1]
    found: dict[str, str] = {}
    for one in parts:
        text = (FOLDER / f"{one}.txt").read_text(encoding="utf-8")
        found |= {plain_name(name): version for name, version in _PIN.findall(text)}
    return found


def plain_name(name: str) -> str:
    """A package's name as indexes compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def blocks(text: str) -> dict[str, str]:
    """The lines of each package in what the resolver wrote: pin, marker and hashes; remarks left out."""
    found: dict[str, list[str]] = {}
    name = ""
    for line in text.splitlines():
        if match := _PIN.match(line):
            name = plain_name(match.group(1))
            found[name] = [line]
        elif name and line.startswith("    --hash"):
            found[name].append(line)
    return {name: "\n".join(lines).removesuffix(" \\") + "\n" for name, lines in found.items()}
