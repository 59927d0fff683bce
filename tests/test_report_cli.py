"""report and the costs of works as they are typed: an invented season line by line, its sums made by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_cabin import DESCRIPTION, cabin

from logbook.actions.opening import place_of
from logbook.cli import main
from logbook.heat import fit
from logbook.matters import StaySaid
from logbook.paper.document import Size
from logbook.paper.text import COLUMNS
from logbook.records import Entry, NewEvent

__all__ = ["cabin"]

ROWS = """at,mark,indoor_c,outdoor_c,load_kg,pieces,air_open_pct,forecast_low_c,note
2025-11-07T17:00,arrived,4.0,-2.0,2.0,,100,,
2025-11-07T19:00,,17.5,,3.0,,60,,
2025-11-07T19:20,,,,,,25,,
2025-11-07T22:30,bed,20.0,-3.0,,,,-5,
2025-11-08T06:30,woke,15.0,-5.0,,,,,cold at the window
2025-11-08T12:00,left,16.0,1.0,,,,,
2026-01-16T16:00,arrived,-3.0,-9.0,2.5,,100,,
2026-01-16T18:00,,15.0,,4.5,1M 1L,60,,
2026-01-16T22:30,bed,21.0,-11.0,,,,-12,
2026-01-17T06:30,woke,16.5,-12.0,,,,,
2026-01-17T22:30,bed,19.0,-6.0,3.0,,50,,
2026-01-18T06:30,woke,18.0,-4.0,,,,,
2026-01-18T14:00,left,17.0,0.0,,,,,
"""
"""Three nights in two stays; 5 kg burned in November, 10 kg in January. Woken to 15, 16.5 and 18 °C: the band
is 16 to 22, so two of three lie in it."""

LINES = (
    "16 jan 2026 16:30 people K J",
    "16 jan 2026 16:31 purpose roof work",
    "18 jan 2026 13:00 guest book: Snow to the sills.",
    "17 jan 2026 10:00 swept flue 2 mm",
    "17 jan 2026 11:00 ash out",
    "17 jan 2026 23:00 weather was -12 -4",
)
AS_OF = "2026-02-01"


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    (cabin / "rows.csv").write_text(ROWS, encoding="utf-8")
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    for line in LINES:
        assert run(cabin, "note", "--yes", line) == 0, line
    capsys.readouterr()
    return cabin


@pytest.fixture
def no_fits(monkeypatch: pytest.MonkeyPatch) -> None:
    """A report must not learn anything by itself."""

    def refuse(*args: object, **more: object) -> None:
        raise AssertionError("a fit was run")

    monkeypatch.setattr(fit, "learn", refuse)


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)["report"]


# A stay


@pytest.mark.usefixtures("no_fits")
def test_the_last_stay_by_hand(log, capsys):
    assert run(log, "report", "--as-of", AS_OF, "--json") == 0
    got = answered(capsys)
    stay = got["stay"]
    assert (got["kind"], got["place"], got["band_c"]) == ("stay", "Rushlight", [16.0, 22.0])
    assert (stay["people"], stay["purpose"], stay["guest_book"]) == (
        ["K", "J"],
        "roof work",
        ["Snow to the sills."],
    )
    assert (stay["nights"], stay["wood_kg"], stay["wood_kg_dry"]) == (2, 10.0, pytest.approx(8.2))
    first, second, third = got["loads"]
    assert first["at"] == "2026-01-16T16:00:00+01:00"
    assert (second["kg"], second["pieces"], second["air_open_pct"]) == (4.5, "1M 1L", 60.0)
    assert third["kg_dry"] == pytest.approx(0.82 * 3.0), "18 % of the wet wood is water"
    assert [n["observed_at_wake_c"] for n in got["nights"]] == [16.5, 18.0]
    assert got["nights"][0]["outdoor_low_c"] == -12.0
    counted = got["counted"]
    assert (counted["slept"], counted["read"], counted["in_band"], counted["below"]) == (2, 2, 2, 0)
    assert (counted["held"], counted["scored"], counted["not_reckoned"]) == (0, 0, 2)
    ends = got["extremes"]
    assert ends["inside_lowest"] == {"temperature_c": -3.0, "at": "2026-01-16T16:00:00+01:00"}
    assert (ends["inside_highest"]["temperature_c"], ends["outside_lowest"]["temperature_c"]) == (21.0, -12.0)
    assert [(row["task"], row["deposit_mm"]) for row in got["upkeep"]] == [("flue", 2.0)]
    assert [m["kind"] for m in got["matters"]][:1] == ["ash"]
    assert got["notes"] == []


@pytest.mark.usefixtures("no_fits")
def test_a_stay_in_words_says_what_was_not_reckoned(log, capsys):
    assert run(log, "report", "--stay", "2026-01-17", "--as-of", AS_OF) == 0
    out = capsys.readouterr().out
    for said in (
        "RUSHLIGHT: FRI 16 TO SUN 18 JAN 2026",
        "K, J. For: roof work.",
        "“Snow to the sills.”",
        "10.0 kg of wood (8.2 kg dry) in 3 loads, 5.0 kg to a night.",
        "1 M 1 L",
        "2 of 2 wakings read lay in the band of 16–22 °C.",
        "not reckoned here for 2 nights",
        "nightload nights",
        "* inside, o outside",
        "deposit 2 mm",
    ):
        assert said in " ".join(out.split()) or said in out, said
    assert max(map(len, out.splitlines())) <= COLUMNS[Size.A4]


@pytest.mark.usefixtures("no_fits")
def test_a_day_names_a_stay_and_a_day_between_names_the_nearest(log, capsys):
    assert run(log, "report", "--stay", "2025-11-08", "--as-of", AS_OF, "--json") == 0
    got = answered(capsys)
    assert got["stay"]["wood_kg"] == 5.0
    assert [n["note"] for n in got["notes"]] == ["cold at the window"]
    assert run(log, "report", "--stay", "2025-12-24", "--as-of", AS_OF) == 2
    assert "2026-01-16 to 2026-01-18" in capsys.readouterr().err
    assert run(log, "report", "--stay", "soon") == 2
    assert "2026-01-17" in capsys.readouterr().err


@pytest.mark.usefixtures("no_fits")
def test_nothing_later_than_as_of_is_told(log, capsys):
    """On Saturday at noon one night is behind, the second load of that evening and the guest book to come."""
    assert run(log, "report", "--as-of", "2026-01-17T12:00", "--json") == 0
    got = answered(capsys)
    assert (got["stay"]["going_on"], got["stay"]["wood_kg"], len(got["nights"])) == (True, 7.0, 1)
    assert got["stay"]["guest_book"] == []
    assert got["extremes"]["inside_highest"]["temperature_c"] == 21.0


def test_reckon_makes_the_forecasts_and_the_next_report_has_them(log, capsys, monkeypatch):
    assert run(log, "report", "--as-of", AS_OF, "--reckon", "--json") == 0
    first = answered(capsys)
    assert first["counted"]["scored"] == 2
    for night in first["nights"]:
        said, woke = night["predicted_at_wake_c"], night["observed_at_wake_c"]
        assert night["inside_90"] == (said["p05"] <= woke <= said["p95"])
    monkeypatch.setattr(fit, "learn", None)
    assert run(log, "report", "--as-of", AS_OF, "--json") == 0
    assert answered(capsys) == first


def test_what_nights_said_is_what_the_report_says(log, capsys):
    assert run(log, "nights", "--as-of", AS_OF, "--json") == 0
    nights = json.loads(capsys.readouterr().out)["nights"]
    assert run(log, "report", "--season", "--as-of", AS_OF, "--json") == 0
    told = answered(capsys)["nights"]
    assert [n["predicted_at_wake_c"] for n in told] == [n["predicted_at_wake_c"] for n in nights]
    assert [n["inside_90"] for n in told] == [n["inside_90"] for n in nights]


# A season


@pytest.mark.usefixtures("no_fits")
def test_a_season_by_hand(log, capsys):
    assert run(log, "report", "--season", "2025", "--as-of", AS_OF, "--json") == 0
    got = answered(capsys)
    season = got["season"]
    assert (got["kind"], season["season"], season["going_on"]) == ("season", "2025–26", True)
    assert season["first_fire"] == "2025-11-07T17:00:00+01:00"
    assert season["last_fire"] == "2026-01-17T22:30:00+01:00"
    assert (season["stays"], season["nights"], season["wood_kg"], season["burn_days"]) == (2, 3, 15.0, 3)
    assert season["coldest_dawn_outside"]["temperature_c"] == -12.0
    months = {m["month"]: m for m in got["months"]}
    assert (months["2025-11"]["wood_kg"], months["2025-11"]["nights"]) == (5.0, 1)
    assert (months["2026-01"]["wood_kg"], months["2026-01"]["nights"]) == (10.0, 2)
    assert months["2026-01"]["coldest_outside_c"] == -12.0
    counted = got["counted"]
    assert (counted["read"], counted["in_band"], counted["below"], counted["not_reckoned"]) == (3, 2, 1, 3)
    records = got["records"]
    assert records["biggest_load"] == {"at": "2026-01-16T18:00:00+01:00", "kg": 4.5}
    assert (records["most_wood"]["wood_kg"], records["longest"]["nights"]) == (10.0, 2)
    assert records["extremes"]["inside_lowest"]["temperature_c"] == -3.0
    assert got["degrees"]["days"] == 1, "17 January, as it was written down"
    assert got["degrees"]["degree_days_k"] == pytest.approx(15.5 + 8.0), "its mean is -8 °C"
    assert months["2026-01"]["degree_days_k"] == pytest.approx(23.5)
    assert got["household_wood"] is None, "no stack is on record"


@pytest.mark.usefixtures("no_fits")
def test_a_season_in_words(log, capsys):
    assert run(log, "note", "--yes", "1 sep 2025 stack birch 2 stere split may 2025") == 0
    capsys.readouterr()
    assert run(log, "report", "--season", "--as-of", AS_OF) == 0
    out = capsys.readouterr().out
    for said in (
        "RUSHLIGHT: SEASON 2025–26",
        "2 stays, 3 nights",
        "15.0 kg of wood (12.3 kg dry), 3 days with a fire",
        "stere (",
        "The stay of Fri 16 Jan burned most: 10.0 kg; the mean of 2 stays is 7.5 kg.",
        "2 of 3 wakings read lay in the band of 16–22 °C, 1 below it.",
        "Biggest load",
        "Snow to the sills.",
    ):
        assert said in " ".join(out.split()), said
    assert max(map(len, out.splitlines())) <= COLUMNS[Size.A4]


@pytest.mark.usefixtures("no_fits")
def test_seasons_that_are_not_there(log, capsys):
    assert run(log, "report", "--season", "2019", "--as-of", AS_OF) == 2
    assert "2025–26" in capsys.readouterr().err
    assert run(log, "report", "--season", "winter") == 2
    assert "2025 is July 2025" in capsys.readouterr().err
    assert run(log, "report", "--season", "--stay", "last") == 2
    assert "one of them" in capsys.readouterr().err


# Paper


@pytest.mark.usefixtures("no_fits")
@pytest.mark.parametrize("size", ["a4", "letter"])
def test_html_is_one_file_and_shows_what_was_typed(log, capsys, size):
    assert run(log, "note", "--yes", "17 jan 2026 12:00 note <b>mouse</b> & hole") == 0
    path = log / "stay.html"
    words = ("report", "--as-of", AS_OF, "--size", size, "--html", str(path))
    assert run(log, *words) == 0
    page = path.read_text(encoding="utf-8")
    assert f"size: {size}" in page
    assert "&lt;b&gt;mouse&lt;/b&gt; &amp; hole" in page
    assert "<b>mouse" not in page
    assert "<script" not in page
    assert "http" not in page
    assert "<pre>" in page, "the chart"
    assert str(path) in capsys.readouterr().out
    assert run(log, *words, "--json") == 0
    assert json.loads(capsys.readouterr().out)["written"] == str(path)


@pytest.mark.usefixtures("no_fits")
def test_a_file_that_cannot_be_written_is_said(log, capsys):
    assert run(log, "report", "--as-of", AS_OF, "--html", str(log / "none" / "stay.html")) == 3
    assert "could not be written" in capsys.readouterr().err


@pytest.mark.usefixtures("no_fits")
def test_a_log_without_a_description_is_told_too(tmp_path, capsys, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with place_of(str(tmp_path / "log.db")).open(create=True) as new:
        new.add([NewEvent(entry=Entry(at=new._now(), indoor_c=4.0, matter=StaySaid(guest_book="First.")))])
    assert run(tmp_path, "report", "--json") == 0
    got = answered(capsys)
    assert (got["stay"]["guest_book"], got["band_assumed"], got["nights"]) == (["First."], True, [])
    assert run(tmp_path, "report", "--season") == 0
    assert "No wood was burned" in capsys.readouterr().out


def test_fahrenheit_and_pounds_on_the_page_si_in_json(cabin, capsys):
    """10 kg are 22.0 lb; 16 to 22 °C are 61 to 72 °F."""
    toml = cabin / "cabin.toml"
    toml.write_text(toml.read_text() + '[units]\ntemperature = "F"\nmass = "lb"\n', encoding="utf-8")
    (cabin / "rows.csv").write_text(ROWS, encoding="utf-8")
    assert run(cabin, "setup", str(toml)) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    assert run(cabin, "report", "--as-of", AS_OF) == 0
    out = capsys.readouterr().out
    assert "22.0 lb of wood" in out
    assert "61–72 °F" in out
    assert "°C" not in out
    assert " kg" not in out
    assert run(cabin, "report", "--as-of", AS_OF, "--json") == 0
    assert answered(capsys)["stay"]["wood_kg"] == 10.0


# Works with their costs


def test_a_cost_without_a_dated_change_is_kept_and_says_how_to_date_it(log, capsys):
    assert run(log, "note", "cost skirting 240 31 h on floor") == 0
    out, err = capsys.readouterr()
    assert "cost skirting 240, 31 h" in out
    assert 'nightload change "skirting" --from DATE' in err
    assert run(log, "compare") == 1
    assert 'nightload change "skirting" --from DATE' in capsys.readouterr().err
    assert run(log, "change", "skirting", "--from", "2025-12-01") == 0
    capsys.readouterr()
    assert run(log, "note", "cost skirting 10") == 0
    assert capsys.readouterr().err == "", "now it has a date"


def test_compare_has_money_and_hours_beside_the_effect_and_no_years_for_noise(log, capsys):
    for words in (
        ("change", "skirting", "--from", "2025-12-01"),
        ("note", "cost skirting 240 31 h on floor"),
        ("note", "cost skirting 10"),
        ("note", "cost panes 90"),
    ):
        assert run(log, *words) == 0
    capsys.readouterr()
    assert run(log, "compare", "--json") == 0
    got = json.loads(capsys.readouterr().out)
    (change,) = got["changes"]
    assert (change["money"], change["hours"], change["surface"]) == (250.0, 31.0, "floor")
    assert change["verdict"] != "helped", "one night before it, two after: nobody could tell"
    assert change["payback_cannot_tell"] == "noise"
    assert change["payback_years"] is None
    assert [one["name"] for one in got["undated"]] == ["panes"]
    assert run(log, "compare", "skirting") == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "It cost 250 in money and 31 h of work, on floor." in out
    assert "can't be told: what it did is not told apart from noise" in out
    assert "panes" not in out, "only the one asked for"


def test_the_season_shows_works_and_compares_nothing_by_itself(log, capsys, monkeypatch):
    assert run(log, "change", "skirting", "--from", "2025-12-01") == 0
    assert run(log, "note", "1 dec 2025 12:00 cost skirting 240") == 0
    capsys.readouterr()
    monkeypatch.setattr("logbook.actions.works.learn_window", None)
    assert run(log, "report", "--season", "--as-of", AS_OF, "--json") == 0
    (work,) = answered(capsys)["works"]
    assert (work["name"], work["money"], work["compared"]) == ("skirting", 240.0, None)
    assert run(log, "report", "--season", "--as-of", AS_OF) == 0
    assert "not compared" in capsys.readouterr().out


def test_once_compared_the_season_has_the_effect(log, capsys):
    assert run(log, "change", "skirting", "--from", "2025-12-01") == 0
    capsys.readouterr()
    assert run(log, "compare", "--as-of", AS_OF, "--json") == 0
    compared = json.loads(capsys.readouterr().out)["changes"][0]
    assert run(log, "report", "--season", "--as-of", AS_OF, "--json") == 0
    (work,) = answered(capsys)["works"]
    assert work["compared"]["heat_loss_change_pct"] == compared["heat_loss_change_pct"]


def charted(folder: Path, capsys: pytest.CaptureFixture[str], *lines: str, ask: tuple[str, ...]) -> str:
    path = folder / "short.db"
    assert main(["--log", str(path), "setup", str(folder / "cabin.toml")]) == 0
    for line in lines:
        assert main(["--log", str(path), "note", "--yes", line]) == 0
    capsys.readouterr()
    assert main(["--log", str(path), "report", *ask]) == 0
    return capsys.readouterr().out


def test_the_chart_of_an_afternoon_says_the_clock_and_of_one_minute_is_none(tmp_path, capsys):
    """Without a midnight or a noon in it, hours since its start stood below: 0.0 0.9 1.8."""
    (tmp_path / "cabin.toml").write_text(DESCRIPTION, encoding="utf-8")
    day = ("2026-01-10 13:05 arrived in 8 out 2", "2026-01-10 15:00 in 12", "2026-01-10 17:40 in 15 left")
    out = charted(tmp_path, capsys, *day, ask=("--as-of", "2026-01-11T12:00"))
    (below,) = [row for row in out.splitlines() if row.strip().startswith("13:05")]
    assert below.split() == ["13:05", "17:40"]
    (tmp_path / "short.db").unlink()
    at_once = ("2026-01-10 13:05 in 8", "2026-01-10 13:05 in 12")
    assert "┌" not in charted(tmp_path, capsys, *at_once, ask=("--as-of", "2026-01-10T14:00"))


def test_of_one_waking_there_is_no_chart_and_no_word_of_one(tmp_path, capsys):
    (tmp_path / "cabin.toml").write_text(DESCRIPTION.replace("[16, 22]", "[16, 21]"), encoding="utf-8")
    night = ("2026-01-09 22:00 bed in 18", "2026-01-10 07:00 woke in 9", "10 jan 2026 20:00 weather was -1 9")
    out = charted(tmp_path, capsys, *night, ask=("--season", "--as-of", "2026-01-20T12:00"))
    flat = " ".join(out.split())
    assert "0 of 1 waking read" in flat and "level lines the band" not in flat
    assert "348 °C·hours below 18.5 °C" in flat, "24 times 18.5 - 4; it said 18"


def test_a_season_of_one_month_has_its_days_below_the_chart(tmp_path, capsys):
    """No first of a month between them: the days since July stood there, as 160.00 160.17."""
    (tmp_path / "cabin.toml").write_text(DESCRIPTION, encoding="utf-8")
    nights = tuple(
        line
        for day in (9, 10, 11)
        for line in (f"2026-01-{day:02} 22:00 bed in 18", f"2026-01-{day + 1:02} 07:00 woke in {day}")
    )
    out = charted(tmp_path, capsys, *nights, ask=("--season", "--as-of", "2026-01-20T12:00"))
    (below,) = [row for row in out.splitlines() if row.strip().startswith("9 Jan")]
    assert below.split() == ["9", "Jan", "11", "Jan"]
