"""Printed pages: nothing lost between blocks and paper, nothing typed becomes markup, one sheet stays one."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.errors import BadInputError
from logbook.paper.document import Block, Drawing, Heading, Lines, Page, Para, Size, Steps, Table
from logbook.paper.html import letters_pt, pages_html
from logbook.paper.text import COLUMNS, ROWS, lines_of, page_text
from logbook.shown import shown

EVERY_BLOCK: tuple[Block, ...] = (
    Heading("Before any fire"),
    Para("Nobody goes back in."),
    Para("Everybody out.", strong=True),
    Steps(("Press both buttons.", "Open the damper.")),
    Steps(("Water drained.",), boxes=True),
    Table(("time", "inside"), (("17:40", "12"),), widths=(1, 3), blank=2),
    Table(("a", "longer"), (("1", "2"),)),
    Drawing("*  *\n ** ", "It fell to 12 °C."),
    Lines(2),
)
HOSTILE = '<script>alert(1)</script> {{ 7*7 }} </td> & "quoted"'


class _Words(HTMLParser):
    """The words of a document and the tags in it."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def words_of(html: str) -> _Words:
    read = _Words()
    read.feed(html)
    return read


def page(*blocks: Block, many: bool = False) -> Page:
    return Page(title="The stove", below="For guests.", blocks=blocks, foot="The manual first.", many=many)


@pytest.mark.parametrize("size", Size)
@pytest.mark.parametrize("block", EVERY_BLOCK, ids=lambda block: type(block).__name__)
def test_every_word_of_a_block_is_on_both_papers(block: Block, size: Size) -> None:
    text = page_text(page(block), size=size)
    html = "".join(words_of(pages_html([page(block)], size=size)).said)
    for value in re.findall(r"'([^']+)'", repr(block)):
        for word in value.replace("\\n", " ").split():
            assert word in text
            assert word in html


@pytest.mark.parametrize("size", Size)
def test_no_line_is_wider_than_the_sheet(size: Size) -> None:
    long = Para("Coals give carbon monoxide without smoke. " * 9)
    wide = Table(("what", "found"), (("flue " * 30, "dry and flaky, " * 20),))
    rows = page_text(page(long, wide, *EVERY_BLOCK), size=size).splitlines()
    assert max(map(len, rows)) <= COLUMNS[size]


def test_what_belongs_on_one_sheet_is_refused_with_its_length_when_it_is_longer() -> None:
    steps = Steps(tuple(f"step {n}" for n in range(80)))
    with pytest.raises(BadInputError, match=r"has 85 lines; a sheet of A4 takes 66"):
        page_text(page(steps))
    assert len(page_text(page(steps, many=True)).splitlines()) == 85


def test_each_page_begins_a_sheet_of_its_own() -> None:
    html = pages_html([page(), page()])
    assert words_of(html).tags.count("section") == 2
    assert "page-break-after: always" in html
    assert "size: a4" in html
    assert "size: letter" in pages_html([page()], size=Size.LETTER)


def test_what_a_person_typed_never_becomes_markup() -> None:
    hostile = page(Para(HOSTILE), Heading(HOSTILE), Steps((HOSTILE,)), Table((HOSTILE,), ((HOSTILE,),)))
    read = words_of(pages_html([hostile]))
    assert "script" not in read.tags
    assert sum(said.count(HOSTILE) for said in read.said) == 5  # once a block, twice in the table
    assert "49" not in "".join(read.said)


@given(st.text(max_size=200))
def test_any_text_comes_out_as_it_was_typed_but_for_what_steers_a_terminal(typed: str) -> None:
    read = words_of(pages_html([Page(title="T", blocks=(Para(typed),))]))
    assert shown(typed).strip() in "".join(read.said)


@pytest.mark.parametrize(
    ("size", "lines", "letters"),
    [(Size.A4, 43, 11.0), (Size.A4, 65, 9.0), (Size.LETTER, 43, 10.0), (Size.LETTER, 59, 9.0)],
)
def test_letters_with_which_a_full_list_stayed_on_one_sheet_of_a_browser(
    size: Size, lines: int, letters: float
) -> None:
    """Measured by printing these lists from a browser and counting its sheets."""
    item = "Air the place while it is warm: the stay's moisture condenses as it cools. Then shut the windows."
    steps = Steps((f"{item} And go.",) * ((lines - 5) // 2), boxes=True)
    full = Page(title="A page", below="below it", blocks=(steps,), foot="the foot")
    assert lines_of(full, size=size) == lines
    assert letters_pt(full, size=size) == letters


def test_a_short_page_has_large_letters_and_a_long_one_still_readable() -> None:
    assert letters_pt(page(Para("Short.")), size=Size.A4) == 13.0
    endless = page(*(Para("line") for _ in range(200)))
    assert letters_pt(endless, size=Size.A4) == 8.0
    assert lines_of(endless, size=Size.A4) > ROWS[Size.A4]
