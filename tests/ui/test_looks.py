"""Contrast measured, and the look chosen without being asked."""

from __future__ import annotations

import pytest

from logbook.ui.cells import PLAIN, Role, Span, plain_row, text_of
from logbook.ui.looks import (
    LAMPLIGHT,
    LOOKS,
    NO_COLOUR,
    SIXTEEN,
    SNOW,
    contrast,
    look_for,
    luminance,
    plain_marks_for,
)

LINES_ONLY = {Role.RULE, Role.EDGE}
"""Roles that never carry words on their own but the names at a line's end."""

# WCAG 2.1, definition of contrast ratio: 21:1 is black on white; grey values computed from its formula
# in published tables (#767676 on white is the usual example of the lightest grey that passes 4.5).
PUBLISHED = [
    ("#000000", "#ffffff", 21.0, "WCAG 2.1: range of the ratio, from memory"),
    ("#767676", "#ffffff", 4.54, "WCAG technique examples, from memory"),
    ("#ff0000", "#ffffff", 4.00, "from memory; computed by hand from 0.2126"),
]


@pytest.mark.parametrize(("one", "other", "ratio", "source"), PUBLISHED)
def test_contrast_gives_published_ratios(one: str, other: str, ratio: float, source: str) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.01), source
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("look", [LAMPLIGHT, SNOW], ids=lambda look: look.name)
@pytest.mark.parametrize("role", list(Role))
def test_every_role_stands_out_on_paper_and_on_tint(look, role) -> None:
    least = 3.0 if role in LINES_ONLY else 4.5
    for ground in (look.paper, look.tint):
        assert contrast(look.inks[role].colour, ground) >= least, (look.name, role, ground)


def test_the_tint_is_seen_but_stays_dark_at_night() -> None:
    assert 1.1 < contrast(LAMPLIGHT.paper, LAMPLIGHT.tint) < 1.5
    assert luminance(LAMPLIGHT.tint) < 0.02


@pytest.mark.parametrize("look", [SIXTEEN, NO_COLOUR], ids=lambda look: look.name)
def test_looks_on_the_terminals_own_ground_use_no_colour_that_fails_on_black_or_white(look) -> None:
    used = {ink.colour for ink in look.inks.values()}
    assert used <= {"", "red", "magenta"}
    assert not look.full_colour
    if look is NO_COLOUR:
        assert used == {""}
    for role in (Role.STOP, Role.FIRST, Role.ASKS, Role.MEASURED):
        assert look.inks[role].bold  # never by colour alone


def test_every_look_has_an_ink_for_every_role() -> None:
    assert all(set(look.inks) == set(Role) for look in LOOKS)


def test_no_color_wins_over_what_was_asked() -> None:
    assert look_for({"NO_COLOR": "1", "TERM": "xterm-256color"}, asked="snow") is NO_COLOUR
    assert look_for({"TERM": "xterm-256color"}, asked="snow") is SNOW
    assert look_for({"TERM": "xterm-256color"}, asked="never heard of it") is LAMPLIGHT
    assert look_for({"TERM": "linux"}) is SIXTEEN
    assert look_for({"NO_COLOR": "", "TERM": "xterm"}) is LAMPLIGHT  # empty counts as unset (no-color.org)


@pytest.mark.parametrize(
    ("environ", "encoding", "plain"),
    [
        ({"TERM": "xterm", "LANG": "de_DE.UTF-8"}, "utf-8", False),
        ({"TERM": "linux", "LANG": "de_DE.UTF-8"}, "utf-8", True),
        ({"TERM": "xterm", "LANG": "C"}, "ANSI_X3.4-1968", True),
        ({"TERM": "xterm", "LANG": "ja_JP.UTF-8"}, "UTF-8", True),
    ],
)
def test_plain_marks_where_braille_would_not_show(environ, encoding, plain) -> None:
    assert plain_marks_for(environ, encoding=encoding) is plain


def test_plain_marks_keep_every_column_in_its_place() -> None:
    row = (Span("−9 °C · 13–20 °C ┄●╎━╍├─┤ ← →"),)
    said = text_of(plain_row(row))
    assert len(said) == len(text_of(row))
    assert said.isascii()
    assert all(len(new) == 1 for new in PLAIN.values())
