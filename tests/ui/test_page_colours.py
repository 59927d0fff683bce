"""Pages in lamplight cell by cell: which colour, which ground, as the terminal gets them.

The texts alone (test_page_texts.py) stay right when a warning turns the colour of a footnote.
After a wanted change: ``NIGHTLOAD_REDRAW=1 pytest tests/ui``, then read the difference.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from rich.style import Style
from test_page_texts import screen

from logbook.ui.cells import Role, Row, text_of
from logbook.ui.looks import LAMPLIGHT
from logbook.ui.paint import strip_of

KEPT = Path(__file__).parent / "colours"
SIZE = (80, 24)

SHOWN = {
    "now": "now",
    "tonight-third": "tonight-third",
    "nights": "nights",
    "cabin": "cabin",
    "help": "help",
    "emergency": "emergency",
    "writing": "writing",
    "saved": (*"-11/18", "enter"),
    "refused": tuple("-11/18 4x"),
    "asks": tuple("-11/65"),
}
"""Pages of test_page_texts.py by name, and three answers by the keys that lead to them."""

LETTERS = {
    Role.INK: "i",
    Role.FAINT: "f",
    Role.RULE: "r",
    Role.MEASURED: "m",
    Role.EXPECTED: "e",
    Role.EDGE: "d",
    Role.OUTSIDE: "o",
    Role.SAVED: "s",
    Role.ASKS: "a",
    Role.STOP: "x",
    Role.FIRST: "t",
}
"""A capital stands on the tint, # is the caret. Found by the colour that is sent, not by the role."""

COLOURS = {
    "ground": "#17110d",
    "tint": "#2c2118",
    "i": "#dcc9a8",
    "f": "#a48f76",
    "r": "#7f6c58",
    "m": "#f2b36b",
    "e": "#c98f57",
    "d": "#93785c",
    "o": "#9fb3bd",
    "s": "#aebd78",
    "a": "#e6bf62",
    "x": "#f08e72",
    "t": "#f4e3c3",
}
"""What we chose for lamplight: embers, not a screen. Contrast is measured in test_looks.py."""


def letter(style: Style | None) -> str:
    """The letter of a style as it is sent."""
    assert style is not None and style.color is not None and style.bgcolor is not None
    colour, ground = style.color.name, style.bgcolor.name
    if colour in (COLOURS["ground"], COLOURS["tint"]):
        return "#"
    (found,) = (name for name, value in COLOURS.items() if value == colour)
    assert ground in (COLOURS["ground"], COLOURS["tint"]), ground
    return found.upper() if ground == COLOURS["tint"] else found


def coloured(rows: list[Row]) -> str:
    """Each row as text, and beneath it the letter of each cell; blanks on plain ground have none."""
    out = []
    for row in rows:
        letters = "".join(letter(s.style) * len(s.text) for s in strip_of(row, LAMPLIGHT))
        text = text_of(row)
        seen = (
            " " if sign == " " and one.islower() else one for sign, one in zip(text, letters, strict=True)
        )
        out += [text.rstrip(), "".join(seen).rstrip()]
    return "\n".join(out) + "\n"


def drawn(name: str, monkeypatch: pytest.MonkeyPatch) -> list[Row]:
    keys = SHOWN[name]
    if isinstance(keys, str):
        return screen(keys, SIZE)
    monkeypatch.setitem(screen.__globals__["STEPS"], name, keys)
    return screen(name, SIZE)


@pytest.mark.parametrize("name", SHOWN)
def test_page_in_the_colours_of_lamplight(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    got, file = coloured(drawn(name, monkeypatch)), KEPT / f"{name}.txt"
    if os.environ.get("NIGHTLOAD_REDRAW"):
        file.write_text(got, encoding="utf-8")
    assert got == file.read_text(encoding="utf-8")


def test_every_colour_is_on_one_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """A role that no page here shows would be held by nothing."""
    text = "".join(coloured(drawn(name, monkeypatch)) for name in SHOWN)
    letters = set("".join(text.split("\n")[1::2])) if text else set()
    missing = {role for role, one in LETTERS.items() if not {one, one.upper()} & letters}
    assert not missing


def test_lamplight_is_what_we_chose() -> None:
    assert {LETTERS[role]: ink.colour for role, ink in LAMPLIGHT.inks.items()} == {
        name: value for name, value in COLOURS.items() if len(name) == 1
    }
    assert (LAMPLIGHT.paper, LAMPLIGHT.tint) == (COLOURS["ground"], COLOURS["tint"])


@pytest.mark.parametrize(("name", "word", "one"), [("saved", "saved", "s"), ("refused", "stop", "x"),
                                                   ("asks", "asks", "a")])  # fmt: skip
def test_an_answers_margin_word_has_its_own_colour(
    name: str, word: str, one: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    text, letters = coloured(drawn(name, monkeypatch)).split("\n")[6:8]
    at = text.index(word)
    assert letters[at : at + len(word)] == one * len(word)
