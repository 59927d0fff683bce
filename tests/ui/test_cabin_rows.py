"""The Cabin page in its rows: nothing shifts when chosen, no great gap, and what is cut says so."""

from __future__ import annotations

from dataclasses import replace

import pytest
from fake_desk import STRETCHES, WHATS, WORKS, FakeDesk
from test_page_texts import finish, press

from logbook.results.app import Blank, EmergencyPage
from logbook.ui.cells import MARGIN, Role, Span, margin_row, text_of
from logbook.ui.pages.cabin import _blank_said, danger_rows
from logbook.ui.session import Session

WORDS = ("", "is", "danger", "helped?", "outside")


def cabin(keys: tuple[str, ...] = ("c",), *, size: tuple[int, int] = (80, 24), stretches=()) -> list[str]:
    session = Session(FakeDesk(stretches=stretches))
    session.width, session.height = size
    session.reckon()
    finish(session)
    press(session, keys)
    return [text_of(row) for row in session.rows()]


@pytest.mark.parametrize("word", WORDS)
@pytest.mark.parametrize("role", [Role.FAINT, Role.FIRST])
def test_words_begin_in_the_same_column_chosen_or_not(word: str, role: Role) -> None:
    for chosen in (False, True):
        row = text_of(margin_row(word, Span("words"), role=role, chosen=chosen))
        assert row.index("words") == MARGIN + 1, (word, chosen)
        assert row.startswith(">") is chosen


def test_of_a_margin_only_the_word_has_its_role() -> None:
    """Without colour "first" is underlined: its blanks were, too."""
    row = margin_row("first", Span("words"), role=Role.FIRST)
    assert [(s.text, s.role) for s in row[:-1]] == [
        ("  ", Role.FAINT),
        ("first", Role.FIRST),
        (" ", Role.FAINT),
    ]


def test_a_work_keeps_its_columns_when_it_is_chosen() -> None:
    before = next(row for row in cabin() if "skirting" in row)
    after = next(row for row in cabin(("c", "down")) if "8 Nov 2025 skirting" in row)
    assert before[MARGIN:] == after[MARGIN:] and before.startswith("helped?") and after.startswith(">helped")


@pytest.mark.parametrize("stretches", [(), STRETCHES], ids=["no stretches", "four"])
def test_a_large_window_has_no_great_gap(stretches) -> None:
    rows = cabin(size=(120, 40), stretches=stretches)
    gap = rows[rows.index(next(row for row in rows if row.startswith("  stove"))) + 1 :]
    assert next(n for n, row in enumerate(gap) if row.strip()) <= 4


def test_choosing_a_work_leaves_the_chart_where_it_is() -> None:
    def chart(rows: list[str]) -> list[str]:
        return rows[: next(n for n, row in enumerate(rows) if row.startswith("  loses"))]

    assert chart(cabin(("c", "down", "down"), size=(120, 40))) == chart(cabin(size=(120, 40)))


def test_where_no_chart_fits_older_stretches_take_its_rows() -> None:
    rows = cabin(stretches=STRETCHES)
    assert sum(row.startswith("   used") or row.startswith("    out") for row in rows) == len(STRETCHES)
    assert all(row.strip() for row in rows[6:])


@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_last_rows_are_whole_at_every_width(width: int) -> None:
    def ends(*keys: str) -> list[str]:
        return [row.rstrip() for row in cabin(("c", *keys), size=(width, 24))]

    *_, described, danger, _ = ends()
    assert described.endswith("Enter opens it.") and danger.endswith("p prints it.")
    *_, does, _ = ends(*("down",) * 5, "enter")
    assert does.startswith("   does") and does.endswith("Esc: back.")
    *_, keys, _ = ends(*("down",) * 6, "enter")
    assert keys.startswith("   keys") and keys.endswith(("Esc: back.", "Esc."))
    assert "".join(ends(*("down",) * 6, "enter")).count("Nothing clever.") == 1


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
def test_what_was_reckoned_is_whole_on_its_row(size: tuple[int, int]) -> None:
    """It ended with a sign before the wood saved; nothing in the app showed the rest."""
    keys = ("space", *"what if roof +100mm batt", "enter")
    said = " ".join(row[MARGIN + 1 :].strip() for row in cabin(keys, size=size))
    assert all(line in said for line in WHATS), said


def test_p_prints_the_emergency_page_where_its_row_says_so() -> None:
    """It turned to the Paper page, where another row was chosen."""
    for keys in (("c", *["down"] * 6), ("c", *["down"] * 6, "enter")):
        rows = cabin((*keys, "p"))
        assert any("Written" in row for row in rows), rows
        assert not any("Copy a weekend in" in row for row in rows)
    assert any("Copy a weekend in" in row for row in cabin(("c", "down", "p")))


def test_a_blank_gives_up_its_bracket_first_then_its_end() -> None:
    def said(blank: Blank, columns: int) -> str:
        return "".join(span.text for span in _blank_said(blank, columns=columns, role=Role.INK))

    volume = Blank(
        name="volume", before="It holds", text="70", after="m³ of air (floor times height)", why=""
    )
    assert said(volume, 60) == "It holds [70] m³ of air (floor times height)"
    assert said(volume, 30) == "It holds [70] m³ of air"
    wall = Blank(name="part 1", before="", text="wall 50 m² 24 mm softwood, 80 mm wool", after="", why="")
    assert said(wall, 30) == "[wall 50 m² 24 mm softwood, …]" and len(said(wall, 30)) == 30


def test_a_long_line_of_the_own_page_is_whole_where_there_is_room_else_cut_with_a_sign() -> None:
    long = "Mill house, 3 km down the track past the second bridge: telephone, and the key of the barrier"

    def own(lines: tuple[str, ...]) -> list[str]:
        session = Session(FakeDesk())
        session.page = "own page"
        seen = replace(session.view(), emergency=EmergencyPage(lines=lines, checked=""), chosen=0)
        return [text_of(row) for row in danger_rows(seen)]

    few = own((long, "Call 112."))
    assert " ".join(row[8:].strip() for row in few[:2]) == long
    assert [row[:7] for row in few[:4]] == [">line 1", "       ", " line 2", "   more"]
    many = own((long,) * 10)
    assert many[0].rstrip().endswith(" …") and many[1].startswith(" line 2")


def test_a_blank_line_of_the_own_page_has_its_row() -> None:
    session = Session(FakeDesk())
    seen = replace(
        session.view(), page="own page", emergency=EmergencyPage(lines=("OUT.", "", "Call."), checked="")
    )
    said = [text_of(row).rstrip() for row in danger_rows(seen)[:4]]
    assert said == [">line 1 OUT.", " line 2", " line 3 Call.", "   more add a line"]


# A work laid open


@pytest.mark.parametrize("size", [(60, 24), (80, 24), (120, 40)])
def test_enter_on_a_work_says_what_it_did_cost_and_saves_whole(size: tuple[int, int]) -> None:
    rows = cabin(("c", "down", "down", "enter"), size=size)
    said = " ".join(" ".join(row[MARGIN + 1 :] for row in rows[6:-1]).split())
    work = WORKS.changes[1]
    for sentence in (work.name, work.verdict, *work.whole[1:], *work.paid):
        assert sentence in said
    assert "Esc" in said


def test_the_row_of_a_chosen_work_says_that_enter_opens_it() -> None:
    assert any("what it cost" in row for row in cabin(("c", "down", "down")))
    assert not any("what it cost" in row for row in cabin(("c",)))


def test_what_a_chosen_work_has_no_room_for_is_marked_as_cut() -> None:
    session = Session(FakeDesk())
    session.width, session.height = 80, 24
    session.reckon()
    finish(session)
    press(session, ("c", "down"))
    long = replace(WORKS.changes[0], whole=("skirting", "Wood saved in a usual weekend. " * 12))
    session.known.works = replace(WORKS, changes=(long,))
    rows = [text_of(row).rstrip() for row in session.rows()]
    at = next(n for n, row in enumerate(rows) if "what it cost" in row)
    assert rows[at - 1].endswith(" …") and rows[at - 3].startswith(">helped")


def test_escape_and_the_arrows_lead_from_a_work_to_the_cabin_and_on() -> None:
    assert cabin(("c", "down", "down", "enter", "escape")) == cabin(("c", "down", "down"))
    assert "Year" in cabin(("c", "down", "down", "enter", "right"))[-1]


def test_a_work_longer_than_the_window_says_how_much_is_left_and_moves() -> None:
    session = Session(FakeDesk())
    session.width, session.height = 80, 24
    session.reckon()
    finish(session)
    press(session, ("c", "down", "enter"))
    many = replace(WORKS.changes[0], paid=tuple(f"Sentence {n}." for n in range(30)))
    session.known.works = replace(WORKS, changes=(many,))
    top = [text_of(row) for row in session.rows()]
    left = next(int(row.split()[1]) for row in top if "more rows" in row)
    press(session, ("down",) * left)
    end = [text_of(row) for row in session.rows()]
    assert any("Esc: back" in row for row in end) and not any("more rows" in row for row in end)


def test_a_work_taken_back_meanwhile_says_so() -> None:
    session = Session(FakeDesk())
    session.width, session.height = 80, 24
    session.reckon()
    finish(session)
    press(session, ("c", "down", "enter"))
    session.known.works = replace(WORKS, changes=())
    assert "no longer on record" in text_of(session.rows()[6])
