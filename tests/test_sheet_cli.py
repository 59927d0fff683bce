"""The sheets of a real log: what a guest must find on the wall, and what can be filled in and copied back."""

from __future__ import annotations

import json
from pathlib import Path
from textwrap import wrap

import pytest

from logbook.actions import emergency
from logbook.cli import main
from logbook.demo import write_demo
from logbook.paper.document import Size
from logbook.paper.text import ROWS, UNBROKEN
from logbook.records import OwnUnits
from logbook.results.copying import COPY_CELLS
from logbook.store.log import open_log
from logbook.wording.sheets import weekend_below, weekend_how

AT = "2026-02-28T20:45"


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("sheets") / "log.db"
    write_demo(path)
    return str(path)


def said(log: str, *words: str, capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["--log", log, "sheet", *words, "--as-of", AT]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("size", Size)
@pytest.mark.parametrize("name", ["guest", "weekend", "leaving"])
def test_each_fits_one_sheet(log: str, name: str, size: Size, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(log, name, "--size", size.value, capsys=capsys)
    assert len(text.splitlines()) <= ROWS[size]


def test_the_guest_reads_getting_out_before_anything_else(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text = " ".join(said(log, "guest", capsys=capsys).split())
    out, fire = text.index("everybody out"), text.index("Lighting a cold stove")
    assert out < text.index("Press the test button") < fire
    # The air both ways, the limit, the coals; and whose word counts.
    for must in ("1/4 open (3/4 closed)", "At most 8.0 kg", "Coals give carbon monoxide without smoke"):
        assert must in text
    assert "Your stove's manual, local codes and a licensed sweep come before anything said here." in text


def test_a_guest_of_either_country_reads_every_number_of_the_cautions(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rated from 40 to 100 °F, ten feet from walls (as reported): both stood in °C and metres alone."""
    text = " ".join(said(log, "guest", capsys=capsys).split())
    assert "4 to 38 °C (40 to 100 °F)" in text
    assert "3 m (10 ft) from walls" in text


def test_the_guest_sheet_carries_the_owners_emergency_page(
    log: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "own.db"
    at = write_demo(path)
    with open_log(path, create=False) as own:
        emergency.keep(own, ["Meet at the woodshed gate.", "<b>CALL 112</b>"], now=at)
    text = said(str(path), "guest", capsys=capsys)
    assert "Meet at the woodshed gate." in text
    assert "Meet at the red gate" not in text  # the page that was there before
    assert "no emergency page yet" not in text
    with open_log(path, create=False) as own:
        emergency.keep(own, [], now=at)
    assert "no emergency page yet" in " ".join(said(str(path), "guest", capsys=capsys).split())


OWN_LINES = [f"{n}. Neighbour {n} at the mill, two kilometres down, 555 01{n:02}." for n in range(1, 41)]


def guest_with(path: Path, count: int, *, size: str, capsys: pytest.CaptureFixture[str]) -> str:
    at = write_demo(path)
    with open_log(path, create=False) as own:
        emergency.keep(own, OWN_LINES[:count], now=at)
    return said(str(path), "guest", "--size", size, capsys=capsys)


@pytest.mark.parametrize("spoilt", ['""', "yesterday", "9999-12-31T23:59:59-14:00"])
def test_an_emergency_page_is_shown_whatever_became_of_its_date(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], spoilt: str
) -> None:
    path = tmp_path / "log.db"
    write_demo(path)
    with open_log(path) as own:
        own.set_setting(emergency.PAGE, "Meet at the woodshed gate.")
        own.set_setting(emergency.CHECKED, spoilt)
        page = emergency.written(own, zone="Europe/London")
    assert page == emergency.EmergencyPage(
        lines=("Meet at the woodshed gate.",), checked=emergency.UNREADABLE
    )
    assert "Meet at the woodshed gate." in said(str(path), "guest", capsys=capsys)


@pytest.mark.parametrize("size", Size)
@pytest.mark.parametrize("count", [1, 5, 6, 9, 15])
def test_a_long_emergency_page_is_set_closer_and_loses_nothing(
    tmp_path: Path, count: int, size: Size, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every line of the owner's stands in order, above the stove's steps; each safety step stays."""
    text = guest_with(tmp_path / "own.db", count, size=size.value, capsys=capsys)
    assert len(text.splitlines()) <= ROWS[size]
    flat = " ".join(text.split())
    at = [flat.index(line) for line in OWN_LINES[:count]]
    assert at == sorted(at)
    assert flat.index("everybody out") < at[0] <= at[-1] < flat.index("Press the test button")
    demo = tmp_path / "plain.db"
    stove_steps = guest_with(demo, 0, size=size.value, capsys=capsys)
    steps = [row[4:].strip() for row in stove_steps.splitlines() if row[:2].strip().isdigit()]
    assert len(steps) == 13
    for step in steps:
        assert " ".join(step.split()[:6]) in flat


def test_few_lines_of_the_owners_stand_each_by_itself(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = guest_with(tmp_path / "own.db", 4, size="letter", capsys=capsys)
    assert set(OWN_LINES[:4]) <= set(text.splitlines())


def test_an_emergency_page_of_forty_lines_prints_on_two_sheets(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = guest_with(tmp_path / "own.db", 40, size="letter", capsys=capsys)
    assert set(OWN_LINES) <= set(text.splitlines())
    assert ROWS[Size.LETTER] < len(text.splitlines()) <= 3 * ROWS[Size.LETTER]
    assert "Coals give carbon monoxide" in text


def test_the_demos_own_emergency_page_is_on_its_guest_sheet(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text = said(log, "guest", capsys=capsys)
    assert "Meet at the red gate" in text
    assert "no emergency page yet" not in text


def test_the_advice_to_a_guest_never_goes_below_the_clean_floor(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An owner whose habit is a shut lever still hangs the floor on the wall."""
    path, toml = tmp_path / "log.db", tmp_path / "cabin.toml"
    toml.write_text(
        "[site]\ntimezone = 'UTC'\n[cabin]\nfloor_m2 = 28\nvolume_m3 = 75\n"
        "[stove]\nmax_load_kg = 8\nclean_floor_open_pct = 40\n",
        encoding="utf-8",
    )
    table = tmp_path / "rows.csv"
    rows = [f"2026-01-{day:02d}T20:00,3,60\n2026-01-{day:02d}T20:20,,5" for day in range(1, 9)]
    table.write_text("at,load_kg,air_open_pct\n" + "\n".join(rows) + "\n", encoding="utf-8")
    assert main(["--log", str(path), "setup", str(toml)]) == 0
    assert main(["--log", str(path), "import", str(table)]) == 0
    capsys.readouterr()
    text = " ".join(said(str(path), "guest", capsys=capsys).split())
    assert "then to 2/5 open (3/5 closed)" in text or "then to 40 % open (60 % closed)" in text
    assert "5 % open" not in text


def test_the_weekend_sheet_has_the_columns_of_the_copying_form(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text = said(log, "weekend", capsys=capsys)
    head = next(row for row in text.splitlines() if row.startswith("time ") and "·" not in row)
    assert tuple(head.split()) == tuple(COPY_CELLS)


@pytest.mark.parametrize(
    ("units", "wanted"),
    [
        (OwnUnits(), ("outside −4 ", "inside 12 ", "4.2 kg", "low 9.")),
        # 24.8, 53.6 and 48.2 °F; 9.26 lb
        (OwnUnits(temperature="F", mass="lb"), ("outside 25 ", "inside 54 ", "9.3 lb", "low 48.")),
    ],
)
def test_the_weekend_sheets_examples_are_in_the_owners_units(
    units: OwnUnits, wanted: tuple[str, ...]
) -> None:
    how = weekend_how("open", (), units=units)
    assert all(one in how for one in wanted), how


@pytest.mark.parametrize("columns", range(30, 100))
def test_no_box_is_torn_at_a_rows_end(columns: int) -> None:
    """However wide the paper or the browser: a box stands whole, beside its words."""
    rows = wrap(weekend_below(), columns)
    assert sum(row.replace(UNBROKEN, " ").count("[ ] ") for row in rows) == 2


def test_the_boxes_are_printed_with_plain_spaces(log: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(log, "weekend", capsys=capsys)
    assert "[ ] at the door" in text
    assert UNBROKEN not in text


def test_html_and_json(log: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "sheets.html"
    found = json.loads(said(log, "guest", "upkeep", "--html", str(file), "--json", capsys=capsys))
    assert [sheet["title"][:6] for sheet in found["sheets"]] == ["Hut at", "Upkeep"]
    assert found["written"] == str(file)
    html = file.read_text(encoding="utf-8")
    assert html.count("<section") == 2
    assert "http" not in html  # nothing is fetched


def test_a_sheet_there_is_not_is_refused_with_those_there_are(
    log: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--log", log, "sheet", "wallpaper"]) == 2
    assert "guest, weekend, leaving, upkeep" in capsys.readouterr().err


def test_a_folder_that_is_not_there_is_said(
    log: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--log", log, "sheet", "weekend", "--html", str(tmp_path / "no" / "x.html")]) == 3
    assert "could not be written" in capsys.readouterr().err


def test_without_a_description_the_weekend_sheet_prints_and_the_guests_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = str(tmp_path / "log.db")
    assert main(["--log", path, "note", "note first visit"]) == 0
    assert main(["--log", path, "sheet", "weekend"]) == 0
    assert main(["--log", path, "sheet", "guest"]) == 1
    assert "setup --example" in capsys.readouterr().err
