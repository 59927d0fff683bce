"""The owner's own list as kept: whatever was done to it, it reads back, and no shipped line is lost."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from logbook.care.checklists import SHIPPED, own_lines
from logbook.care.list_own import back_in, list_text, moved, with_line, without
from logbook.errors import BadInputError, LogbookError
from logbook.results.lists import Condition, ListName

NAMES = st.sampled_from(list(ListName))
TEXTS = st.text(max_size=40)
ACTS = st.lists(
    st.tuples(st.sampled_from(("add", "move", "out", "back")), st.integers(0, 40), st.integers(0, 40), TEXTS),
    max_size=12,
)


@given(name=NAMES, acts=ACTS, when=st.sets(st.sampled_from(list(Condition)), max_size=3))
def test_any_acts_keep_every_shipped_line_and_read_back(name, acts, when):
    lines = own_lines(name, None)
    for act, n, m, text in acts:
        idents = [line.ident for line in lines]
        one, other = idents[n % len(idents)], idents[m % len(idents)]
        try:
            if act == "add":
                lines = with_line(lines, text, before=one, when=tuple(sorted(when)))
            elif act == "move":
                lines = moved(lines, one, to=other)
                assert sorted(line.ident for line in lines) == sorted(idents), "a move loses nothing"
            elif act == "out":
                lines = without(lines, one)
            else:
                lines = back_in(lines, one)
        except BadInputError:
            continue
        assert own_lines(name, list_text(lines)) == lines, "kept and read back the same"
    assert {line.key for line in lines if line.key} == {line.key for line in SHIPPED[name]}
    assert len({line.ident for line in lines}) == len(lines)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(("lines", "key", "text", "when", "out", "safety")), inner, max_size=4
        )
    ),
    max_leaves=12,
)


@given(name=NAMES, kept=JSON.map(json.dumps) | st.text(max_size=30))
def test_whatever_is_kept_is_read_or_refused_and_the_shipped_lines_are_there(name, kept):
    try:
        lines = own_lines(name, kept)
    except LogbookError:
        return
    assert {line.key for line in SHIPPED[name]} <= {line.key for line in lines}


def test_adding_then_leaving_out_is_as_before():
    lines = own_lines(ListName.LEAVING, None)
    added = with_line(lines, "roof vent", before="drain", when=())
    assert [line.ident for line in added].index("roof vent") == [line.ident for line in lines].index("drain")
    assert without(added, "roof vent") == lines


def test_a_list_kept_has_words_for_whoever_reads_it_without_this_program():
    rows = json.loads(list_text(own_lines(ListName.ARRIVING, None)))["lines"]
    assert all(row["text"] for row in rows)
    assert any(row.get("safety") for row in rows)
