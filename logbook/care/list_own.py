"""The owner's own list: which lines, in which order, which shipped ones left out; kept as JSON.

A list that was never changed is not kept at all. A shipped line that is new since the list was kept joins it
behind the shipped line it follows.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from logbook.care.list_line import Shipped
from logbook.errors import BadInputError, LogbookError
from logbook.results.lists import Condition

MOST_CHARACTERS = 200
"""Longest line of a list. ASSUMED: two rows of a page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLine:
    """One line as it is kept: a shipped one by its ``key``, or the owner's own by its ``text``.

    ``text`` of a shipped line and ``safety`` are kept for whoever reads the log without this program.
    """

    key: str = ""
    text: str = ""
    when: tuple[Condition, ...] = ()
    safety: bool = False
    out: bool = False

    @property
    def ident(self) -> str:
        """What tells it from the others of its list."""
        return self.key or self.text


def lines_of(kept: str | None, shipped: Sequence[Shipped]) -> tuple[OwnLine, ...]:
    """Every line of the list in the owner's order, left out ones too; the shipped list when none is kept.

    Raises:
        LogbookError: What is kept can't be read.
    """
    if not kept:
        return tuple(_as_kept(line) for line in shipped)
    return _with_new(_read(kept), shipped)


def list_text(lines: Sequence[OwnLine]) -> str:
    """The JSON that ``lines_of`` reads."""
    usual = asdict(OwnLine())
    rows = [{k: v for k, v in asdict(line).items() if v != usual[k]} for line in lines]
    return json.dumps({"lines": rows}, ensure_ascii=False)


def with_line(
    lines: Sequence[OwnLine], text: str, *, before: str | None, when: tuple[Condition, ...]
) -> tuple[OwnLine, ...]:
    """The list with a line of the owner's own, before another or at the end.

    Raises:
        BadInputError: It has no words, too many, or stands there already.
    """
    words = " ".join(text.split())
    if not words:
        raise BadInputError('The line has no words.\nWrite it as: --add "mouse traps set"')
    if len(words) > MOST_CHARACTERS:
        raise BadInputError(
            f"The line has {len(words)} characters, at most {MOST_CHARACTERS} fit.\nMake two lines of it."
        )
    if any(line.text.casefold() == words.casefold() and not line.out for line in lines):
        raise BadInputError(f"'{words}' is in this list already.\nMove it instead: --move N M")
    found = list(lines)
    at = next((n for n, line in enumerate(found) if line.ident == before), len(found))
    found.insert(at, OwnLine(text=words, when=when))
    return tuple(found)


def moved(lines: Sequence[OwnLine], ident: str, *, to: str) -> tuple[OwnLine, ...]:
    """The list with one line in the place of another, which makes room towards where it came from."""
    found = list(lines)
    idents = [line.ident for line in found]
    here, there = idents.index(ident), idents.index(to)
    found.insert(there, found.pop(here))
    return tuple(found)


def without(lines: Sequence[OwnLine], ident: str) -> tuple[OwnLine, ...]:
    """The list without a line: the owner's own is gone, a shipped one is kept as left out."""
    return tuple(
        replace(line, out=True) if line.ident == ident else line
        for line in lines
        if line.key or line.ident != ident
    )


def back_in(lines: Sequence[OwnLine], key: str) -> tuple[OwnLine, ...]:
    """The list with a shipped line back that was left out."""
    return tuple(replace(line, out=False) if line.key == key else line for line in lines)


def _as_kept(line: Shipped) -> OwnLine:
    return OwnLine(key=line.key, text=line.text, when=line.when, safety=line.safety)


def _read(kept: str) -> tuple[OwnLine, ...]:
    try:
        return tuple(
            OwnLine(
                key=str(row.get("key", "")),
                text=str(row.get("text", "")),
                when=tuple(Condition(word) for word in row.get("when", ())),
                safety=bool(row.get("safety", False)),
                out=bool(row.get("out", False)),
            )
            for row in json.loads(kept)["lines"]
        )
    except (ValueError, KeyError, AttributeError, TypeError, RecursionError) as error:
        raise LogbookError(
            f"The list kept in this log can't be read: {kept[:60]}\n"
            "A newer version of this program may have written it: use that one, or take it back: undo"
        ) from error


def _with_new(kept: Sequence[OwnLine], shipped: Sequence[Shipped]) -> tuple[OwnLine, ...]:
    """The kept lines without shipped ones that are no more, and with those that are new."""
    known = {line.key for line in shipped}
    seen: set[str] = set()
    found: list[OwnLine] = []
    for line in kept:
        if line.ident and line.ident not in seen and (not line.key or line.key in known):
            seen.add(line.ident)
            found.append(line)
    for n, new in enumerate(shipped):
        if new.key in seen:
            continue
        earlier = {other.key for other in shipped[:n]}
        after = [i for i, other in enumerate(found) if other.key in earlier]
        found.insert(after[-1] + 1 if after else 0, _as_kept(new))
        seen.add(new.key)
    return tuple(found)
