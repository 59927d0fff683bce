"""The emergency page as it is seen: what stands out, at every width, and nothing cut."""

from __future__ import annotations

from dataclasses import replace

import pytest
from fake_desk import FakeDesk

from logbook.results.app import EmergencyPage
from logbook.ui.cells import Role, text_of
from logbook.ui.looks import LOOKS
from logbook.ui.pages import emergency
from logbook.ui.paint import style_of
from logbook.ui.session import Session
from logbook.ui.view import View

OWN = EmergencyPage(
    lines=("OUT, everybody, now. Meet at the red gate, count heads. Nobody goes back in.", "Call 112."),
    checked="Sat 11 Oct 2025",
)


def view(page: EmergencyPage = OWN, *, width: int = 80, height: int = 24) -> View:
    seen = Session(FakeDesk()).view()
    return replace(seen, page="emergency", emergency=page, width=width, height=height)


def roles(seen: View) -> dict[str, Role]:
    return {span.text.strip(): span.role for row in emergency.rows(seen) for span in row if span.text.strip()}


def test_what_it_is_and_the_first_line_stand_out_from_the_rest() -> None:
    found = roles(view())
    assert found["EMERGENCY"] is Role.FIRST
    assert found[OWN.lines[0]] is Role.STOP
    assert found["Call 112."] is Role.INK


def test_the_first_line_is_the_first_that_says_anything() -> None:
    found = roles(view(replace(OWN, lines=("", "  ", *OWN.lines))))
    assert found[OWN.lines[0]] is Role.STOP and found["Call 112."] is Role.INK


@pytest.mark.parametrize("look", [look for look in LOOKS if not look.full_colour], ids=lambda look: look.name)
def test_without_our_colours_they_are_bold(look) -> None:
    bold = {
        role: bool(style_of(look.name, role, False, False).bold) for role in (Role.FIRST, Role.STOP, Role.INK)
    }
    assert bold == {Role.FIRST: True, Role.STOP: True, Role.INK: False}


@pytest.mark.parametrize("width", [60, 72, 80, 120])
def test_nothing_runs_together_or_off_the_edge(width: int) -> None:
    seen = emergency.rows(view(width=width))
    assert "EMERGENCY  " in text_of(seen[0]) and text_of(seen[0]).endswith("checked Sat 11 Oct 2025")
    assert all(len(text_of(row).rstrip()) <= width for row in seen)
    assert text_of(seen[-1]).endswith("it." if width < 80 else "this page.")


def test_lines_stand_apart_where_there_is_room_and_together_where_not() -> None:
    tall = [text_of(row).strip() for row in emergency.rows(view())]
    assert tall[2:5] == [OWN.lines[0], "", "Call 112."]
    under = replace(OWN, lines=("OUT.", "Call 112.", "   Say: Oddwater cabin."))
    together = [text_of(row) for row in emergency.rows(view(under))]
    assert together[2:6] == ["  OUT.", "", "  Call 112.", "     Say: Oddwater cabin."]
    many = replace(OWN, lines=tuple(f"line {n}" for n in range(18)))
    low = [text_of(row).strip() for row in emergency.rows(view(many))]
    assert low[2:20] == list(many.lines)


def test_a_line_moved_right_stays_there_when_it_is_broken() -> None:
    page = replace(
        OWN, lines=("Call:", "    the mill house, 3 km down the track, it has a telephone that works in snow")
    )
    seen = [text_of(row) for row in emergency.rows(view(page, width=60))]
    assert [row[:7] for row in seen if "mill" in row or "snow" in row] == ["      t", "      t"]
