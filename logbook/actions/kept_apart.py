"""Where versions of one thing kept as a whole part: a list from the first line that differs, a text from the
first word."""

from __future__ import annotations

from collections.abc import Sequence

from logbook.care.checklists import SHIPPED, own_lines
from logbook.errors import LogbookError
from logbook.results.lists import ListName

LIST = "list "
"""How the name begins under which an owner's list is kept."""

LINES_SHOWN = 4
"""So many lines of a list are told, from the first that differs. ASSUMED: about what one row holds."""

WORDS_BEFORE = 2
"""Words told before the first that differs: "max_load_kg = 12" and not the 12 alone. ASSUMED."""

PREVIEW = 60
"""How much of a text is shown, characters; ``--json`` has all of it."""


def words_apart(name: str, texts: Sequence[str]) -> tuple[str, ...]:
    """What each version says that the others don't, short enough for a row.

    Args:
        name: What it is kept under.
        texts: The versions as they are kept.
    """
    if name.startswith(LIST):
        try:
            return _lists([_lines(ListName(name.removeprefix(LIST)), text) for text in texts])
        except (LogbookError, ValueError):
            pass  # of a later program, or spoilt: the text itself, then
    return _texts([text.split() for text in texts])


def _lines(name: ListName, text: str) -> list[str]:
    shipped = {line.key: line.name for line in SHIPPED[name]}
    return [
        f"{shipped.get(line.key, line.text)}{' (left out)' if line.out else ''}"
        for line in own_lines(name, text)
    ]


def _lists(lists: Sequence[Sequence[str]]) -> tuple[str, ...]:
    same = _same(lists)
    told = []
    for lines in lists:
        shown = [*lines[same : same + LINES_SHOWN], *(["…"] if len(lines) > same + LINES_SHOWN else [])]
        after = f"after {lines[same - 1]}: " if same else ""
        told.append(f"{after}{', '.join(shown) or 'nothing more'}")
    return tuple(told)


def _texts(texts: Sequence[Sequence[str]]) -> tuple[str, ...]:
    same = _same(texts)
    first = max(same - WORDS_BEFORE, 0)
    told = []
    for words in texts:
        rest = " ".join(words[first:])
        shown = rest if len(rest) <= PREVIEW else f"{rest[:PREVIEW]}…"
        ends = " (ends there)" if len(words) <= same else ""
        told.append(f"{'… ' if first else ''}{shown}{ends}".strip())
    return tuple(told)


def _same(versions: Sequence[Sequence[str]]) -> int:
    """How many parts all begin with alike; of versions that are all alike, none is passed over."""
    if all(version == versions[0] for version in versions):
        return 0
    return next(
        (n for n, parts in enumerate(zip(*versions, strict=False)) if len(set(parts)) > 1),
        min(map(len, versions)),
    )
