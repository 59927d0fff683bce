"""Names of upkeep tasks: the owner's list, other words for them, and new ones."""

from __future__ import annotations

from logbook.entry.asking import enter_or
from logbook.entry.matters.line import NOT_NAMES, MatterLine
from logbook.entry.understood import ENTER

LONGEST_TASK = 4
"""Words a new task's name may have. ASSUMED: more is prose."""


def task_at(line: MatterLine, at: int) -> tuple[str, int] | None:
    """The longest known task, or other word for one, that stands at a place, and the words it takes."""
    skip = 1 if line.word(at) in {"the", "my", "our"} else 0
    best: tuple[str, int] | None = None
    for name, others in line.setting.tasks:
        for form in (name, *others):
            parts = tuple(form.lower().split())
            long = len(parts) > (best[1] if best else 0)
            if parts and long and _same(line.words(at + skip, at + skip + len(parts)), parts):
                best = name, len(parts)
    return (best[0], best[1] + skip) if best else None


def _same(words: tuple[str, ...], parts: tuple[str, ...]) -> bool:
    if len(words) != len(parts) or words[:-1] != parts[:-1]:
        return False
    return words[-1] == parts[-1] or words[-1].removesuffix("s") == parts[-1].removesuffix("s")


def new_task(line: MatterLine, at: int, end: int) -> str | None:
    """A task of the owner's own, between two places; said, and let go as a note when that was meant."""
    skip = 1 if line.word(at) in {"the", "my", "our"} else 0
    words = line.words(at + skip, end)
    if (
        not 0 < len(words) <= LONGEST_TASK
        or words[0] in NOT_NAMES
        or any(c.isdigit() for c in "".join(words))
    ):
        return None
    name = line.name(at + skip, end).lower()
    key = line.asker.ask(
        "task",
        f'"{name}" is a new task of upkeep. Enter keeps it as one, n keeps the line as a note.',
        enter_or("n", enter="a task of your own", other="a note"),
        blocks_scripts=False,
    )
    return name if key == ENTER else None
