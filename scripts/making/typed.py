"""What may be typed after the program's name, as the completions need it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Value:
    """Something typed: one of ``words``, a file, a folder, or where all are empty, anything."""

    name: str
    words: tuple[str, ...] = ()
    files: bool = False
    folders: bool = False


@dataclass(frozen=True)
class Flag:
    """A flag with what is typed behind it; ``again`` where it may come more than once."""

    names: tuple[str, ...]
    says: str
    values: tuple[Value, ...] = ()
    optional: bool = False
    again: bool = False


@dataclass(frozen=True)
class Place:
    """A word that is no flag; ``on`` where more of it may follow."""

    value: Value
    optional: bool
    on: bool


@dataclass(frozen=True)
class Command:
    """A command, or the program itself where ``name`` is empty."""

    name: str
    says: str
    flags: tuple[Flag, ...]
    places: tuple[Place, ...]
