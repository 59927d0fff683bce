"""What two computers made of a list or a page is told by where the versions part, in the owner's words."""

from __future__ import annotations

import pytest

from logbook.actions.kept_apart import PREVIEW, words_apart
from logbook.care.checklists import own_lines
from logbook.care.list_own import list_text, moved, with_line, without
from logbook.results.lists import ListName

SHIPPED = own_lines(ListName.LEAVING, None)
ATTIC = with_line(SHIPPED, "close the attic hatch", before="write", when=())
KEY = with_line(without(SHIPPED, "shut_off"), "hang up the key", before="write", when=())


def apart(*lists: object) -> tuple[str, ...]:
    return words_apart("list leaving", [list_text(lines) for lines in lists])


def test_lists_are_told_by_the_names_of_their_lines_from_where_they_part():
    """Both stood there as the same beginning of what the file keeps: {"lines": [{"key": "fire_out", …"""
    mine, yours = apart(KEY, ATTIC)
    off = "gas, lamps and batteries off"
    assert mine == f"after aired: {off} (left out), nothing that bursts, hang up the key, written down"
    assert yours == f"after aired: {off}, nothing that bursts, close the attic hatch, written down"


def test_an_order_alone_is_told_too_and_what_is_longer_shows_that_it_goes_on():
    first = moved(SHIPPED, "write", to="fire_out")
    mine, yours = apart(first, SHIPPED)
    assert mine.startswith("written down, fire out, ") and mine.endswith(", …")
    assert yours.startswith("fire out, ")
    more = with_line(SHIPPED, "one more", before=None, when=())
    assert apart(SHIPPED, more) == ("after written down: nothing more", "after written down: one more")


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        (("Meet at the road.", "Meet at the lake."), ("… at the road.", "… at the lake.")),
        (("a = 1\nmax_kg = 12", "a = 1\nmax_kg = 9"), ("… max_kg = 12", "… max_kg = 9")),
        (("one", "two"), ("one", "two")),
        (("Go. Call 112.", "Go."), ("Go. Call 112.", "Go. (ends there)")),
        (("same", "same"), ("same", "same")),
        (("", "a page"), ("(ends there)", "a page")),
        (("x " * 99, "y"), (f"{'x ' * (PREVIEW // 2)}…", "y")),
    ],
)
def test_a_text_is_told_from_its_first_word_that_differs(texts, words):
    assert words_apart("emergency", texts) == words


@pytest.mark.parametrize("name", ["list leaving", "list of things"])
def test_a_list_that_cannot_be_read_is_told_as_the_text_it_is(name):
    assert words_apart(name, ["not a list", "not this"]) == ("not a list", "not this")
