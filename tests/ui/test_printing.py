"""Sheets printed from the app by keys alone, on a real log: the file is read, and found by what is said."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from test_copying import CABIN, NOW, Keys

from logbook.actions.desk import AppDesk, desk_for
from logbook.actions.opening import Place
from logbook.actions.sheets import SHEETS, sheet
from logbook.demo import write_demo
from logbook.records import OwnUnits
from logbook.ui import paper
from logbook.ui.cells import Role
from logbook.ui.keys import KEYS

OF_THE_LOG = {
    "guest": "8.0 kg",  # the stove's limit, described
    "weekend": "Weekend sheet, Oddwater",
    "leaving": "Oddwater",
    "upkeep": "2025-12-07 flue",
}
"""What each sheet has from this log alone."""


class Words(HTMLParser):
    """The words of a page, as a browser shows them."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def words_of(path: Path) -> str:
    found = Words()
    found.feed(path.read_text(encoding="utf-8"))
    return " ".join(" ".join(found.said).split())


@pytest.fixture
def desk() -> Iterator[AppDesk]:
    """In a folder whose name is as long as a person's: what is said of a sheet has room in three rows."""
    with TemporaryDirectory(prefix="nightload-") as folder:
        desk = AppDesk(Place(Path(folder) / "oddwater.db"), at=NOW)
        desk._log().add_description(CABIN)
        desk.keep(desk.read("swept"))
        yield desk
        desk.close()


def printing(desk: AppDesk, name: str, **size: int) -> Keys:
    """p, down to the sheet, Enter."""
    keys = Keys(desk, **size).press("p")
    at = [n for n, _ in keys.session.paper.choices()].index(name)
    return keys.press(*["down"] * at, "enter")


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_written_beside_the_log_with_what_the_log_tells(desk: AppDesk, name: str) -> None:
    printing(desk, name)
    said = words_of(desk.place.path.parent / f"oddwater {name} sheet.html")
    page = sheet(desk._log(), name, as_of=NOW)
    assert " ".join(page.title.split()) in said and " ".join(page.below.split()) in said
    assert OF_THE_LOG[name] in said


@pytest.mark.parametrize("size", [{}, {"width": 60}, {"width": 120, "height": 40}], ids=["80", "60", "120"])
@pytest.mark.parametrize("name", SHEETS)
def test_where_it_was_written_is_said_whole(desk: AppDesk, name: str, size: dict[str, int]) -> None:
    keys = printing(desk, name, **size)
    told = "".join(row[8:] for row in keys.rows()[3:6]).replace(" ", "")
    path = desk.place.path.parent / f"oddwater {name} sheet.html"
    assert path.exists() and f"Written:{path}".replace(" ", "") in told
    assert keys.session.page == "paper", "another one may follow"


def test_on_a_narrow_window_a_choice_goes_on_in_the_next_row(desk: AppDesk) -> None:
    keys = Keys(desk, width=60).press("p", "down", "down")
    at = next(n for n, row in enumerate(keys.rows()) if row.startswith(">"))
    assert " ".join(row[8:] for row in keys.rows()[at : at + 2]) == paper.SHEETS["guest"]


def test_where_it_was_written_is_in_the_ink_of_what_was_kept(desk: AppDesk) -> None:
    keys = printing(desk, "guest")
    row = keys.session.rows()[3]
    assert keys.rows()[3].split()[0] == "sheet"
    assert Role.SAVED in {span.role for span in row if span.text.strip() == "sheet"}


def test_the_help_says_that_p_prints_too() -> None:
    assert "print" in next(key.says for key in KEYS if "p" in key.keys)


def test_every_sheet_there_is_can_be_printed() -> None:
    assert tuple(paper.SHEETS) == SHEETS


def test_printing_keeps_nothing_that_undo_would_take_back(desk: AppDesk) -> None:
    before = desk._log().current_entries()
    keys = printing(desk, "weekend")
    assert desk._log().current_entries() == before
    keys.press("escape", "u")
    assert "weekend" not in " ".join(keys.rows()[3:5]) and len(desk._log().current_entries()) < len(before)


def test_a_sheet_that_was_there_is_written_over(desk: AppDesk) -> None:
    path = desk.place.path.parent / "oddwater upkeep sheet.html"
    path.write_text("of last year", encoding="utf-8")
    printing(desk, "upkeep")
    assert "of last year" not in path.read_text(encoding="utf-8")


def test_paper_is_the_size_of_the_owners_country(desk: AppDesk) -> None:
    from dataclasses import replace  # noqa: PLC0415 - only here

    assert "on A4." in printing(desk, "weekend", width=120).text
    desk._log().add_description(replace(CABIN, units=OwnUnits(temperature="F")))
    assert "on LETTER." in printing(desk, "weekend", width=120).text
    html = (desk.place.path.parent / "oddwater weekend sheet.html").read_text(encoding="utf-8")
    assert re.search(r"size:\s*letter", html)


def test_a_cabin_not_described_says_what_the_guest_sheet_needs(tmp_path: Path) -> None:
    desk = AppDesk(Place(tmp_path / "new.db"), at=NOW)
    desk.keep(desk.read("-5/12"))
    keys = Keys(desk)
    keys.session.page = "paper"
    keys.session.paper.open([n for n, _ in keys.session.paper.choices()].index("guest"))
    assert keys.rows()[3].startswith("   stop ") and "needs the stove" in keys.text
    assert not list(tmp_path.glob("*.html"))
    desk.close()


def test_a_folder_that_takes_no_file_is_said_with_another_way(desk: AppDesk) -> None:
    (desk.place.path.parent / "oddwater guest sheet.html").mkdir()
    keys = printing(desk, "guest")
    assert keys.rows()[3].startswith("   stop oddwater guest sheet.html can't be written beside the log")
    assert "nightload sheet guest --html FILE" in " ".join(row[8:] for row in keys.rows()[3:6])


def test_of_the_demo_a_sheet_is_there_soon_and_said_to_go_with_it(tmp_path: Path) -> None:
    at = write_demo(tmp_path / "demo.db")
    with desk_for(str(tmp_path / "demo.db"), at=at) as desk:
        for name in SHEETS:
            began = time.process_time()
            said = desk.print_sheet(name).sentence
            assert time.process_time() - began < 2.0, name
            assert "gone when you leave it" in said
