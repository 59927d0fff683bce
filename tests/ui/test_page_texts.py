"""Every page as text, at two sizes and in plain marks, against what it looked like when we last looked.

After a wanted change: ``NIGHTLOAD_REDRAW=1 pytest tests/ui/test_page_texts.py``, then read the difference.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from fake_desk import STRETCHES, FakeDesk

from logbook.ui.cells import Row, text_of
from logbook.ui.looks import LAMPLIGHT, NO_COLOUR, Look
from logbook.ui.paint import style_of
from logbook.ui.session import Session

KEPT = Path(__file__).parent / "pages"
STEPS = {
    "now": (),
    "tonight": ("t",),
    "tonight-third": ("t", "down", "down"),
    "nights": ("n",),
    "cabin": ("c",),
    "cabin-change": ("c", "down", "down"),
    "describe": ("c", "up", "down", "down", "down", "down", "down", "enter", "down", "down"),
    "own-page": ("c", *("down",) * 6, "enter", "down"),
    "first": (),
    "first-filled": tuple("28\t75\t8\to\t1/4\ta\t90 fluff"),
    "help": ("h",),
    "emergency": ("e",),
    "cabin-stretches": ("c", "down", "down", "x"),
    "nights-left-out": ("n", "down", "x"),
    "list": ("g",),
    "list-ticked": ("g", "v", "v", "x", "pagedown", "pagedown"),
    "list-words": ("g", "down", "enter", *"turn the sign"),
    "year": ("y",),
    "year-part": ("y", "down", "down", "enter"),
    "paper": ("p",),
    "copying": ("p", "enter", *"fri\t1740\t-2\t3\t2s\tfull\tar>v19i11xv2030wxyv2110\t-5\t19.5\t1m"),
    "copied": ("p", "enter", *"fri\t1740\t-2\t3\t2s\tfullv19i11v"),
    "writing": ("-", "1", "1", "/", "1", "8"),
}
SIZES = ((80, 24), (120, 40))


def screen(name: str, size: tuple[int, int], *, plain: bool = False) -> list[Row]:
    stretches = STRETCHES if name == "cabin-stretches" else ()
    session = Session(FakeDesk(new=name.startswith("first"), stretches=stretches), plain=plain)
    session.width, session.height = size
    if name.startswith("first"):
        press(session, STEPS[name])
        return session.rows()
    session.reckon()
    finish(session)
    press(session, STEPS[name])
    return session.rows()


def press(session: Session, keys: tuple[str, ...]) -> None:
    """Keys one after another, what they ask for answered at once."""
    for n, key in enumerate(keys):
        named = {"\t": "tab", ">": "right", "v": "down"}.get(key, key)
        session.press(named, named if len(named) == 1 else None, n * 2.0)
        finish(session)


def finish(session: Session) -> None:
    """Every slow answer asked for, given."""
    while jobs := session.take_jobs():  # an answer may ask for a further one
        for name, job in jobs:
            session.arrived(name, job(lambda said: None))


def marked(rows: list[Row], look: Look) -> str:
    """The rows as text, each with a line beneath it: B bold, D dim, U underlined, R reversed."""
    out = []
    for row in rows:
        out.append(text_of(row).rstrip())
        marks = ""
        for span in row:
            style = style_of(look.name, span.role, span.tint, span.caret)
            said = ("B" if style.bold else "") + ("D" if style.dim else "") + ("U" if style.underline else "")
            said += "R" if style.reverse else ""
            marks += (said or ".")[:1] * len(span.text)
        out.append(marks.rstrip())
    return "\n".join(out) + "\n"


def check(name: str, text: str) -> None:
    file = KEPT / f"{name}.txt"
    if os.environ.get("NIGHTLOAD_REDRAW"):
        KEPT.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", STEPS)
def test_page_in_lamplight(name: str, size: tuple[int, int]) -> None:
    rows = screen(name, size)
    check(f"{name}-{size[0]}x{size[1]}", "\n".join(text_of(row).rstrip() for row in rows) + "\n")
    assert all(LAMPLIGHT.inks[span.role].colour for row in rows for span in row)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", STEPS)
def test_page_without_colour_tells_by_weight(name: str, size: tuple[int, int]) -> None:
    check(f"{name}-{size[0]}x{size[1]}-no-colour", marked(screen(name, size), NO_COLOUR))


@pytest.mark.parametrize("name", STEPS)
def test_page_in_plain_marks(name: str) -> None:
    text = "\n".join(text_of(row).rstrip() for row in screen(name, (80, 24), plain=True)) + "\n"
    check(f"{name}-plain", text)
    assert text.isascii()
