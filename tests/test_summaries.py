"""One row for each night and each stay: what was written down, by hand from the small cabin's rows."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from io import StringIO
from pathlib import Path

import pytest
from small_cabin import DESCRIPTION, ROWS, cabin

from logbook.actions import files, nights, summaries
from logbook.actions.opening import Place, place_of
from logbook.actions.reckoning import Known, known
from logbook.actions.summaries import NIGHT_COLUMNS, STAY_COLUMNS, summary_tables
from logbook.cli import main
from logbook.description import parse_description
from logbook.store import dictionary

__all__ = ["cabin"]

NOW = datetime.fromisoformat("2026-01-16T21:40+01:00")


WHOLE_AND_ABOUT = {"events.jsonl", "DICTIONARY.md", "dictionary.csv", "events.schema.json"}
"""What stands beside the tables in every export."""


def filled(folder: Path, rows: str = ROWS) -> Place:
    """A log with these rows in it."""
    (folder / "rows.csv").write_text(rows, encoding="utf-8")
    place = place_of(str(folder / "log.db"))
    with place.open(create=True) as log:
        described = parse_description(DESCRIPTION, machine_zone="UTC")
        files.setup(log, described, DESCRIPTION, since=None, now=NOW)
        if rows:
            files.bring_in(log, folder / "rows.csv", now=NOW)
    return place


def told(place: Place) -> Known:
    with place.open() as log:
        return known(log, as_of=NOW)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text, newline="")))


def test_a_night_is_what_was_written_of_it(cabin: Path) -> None:
    (night,) = rows_of(summary_tables(told(filled(cabin)))["nights.csv"])
    assert night == dict.fromkeys(NIGHT_COLUMNS, "") | {
        "evening": "2026-01-09",
        "bed": "2026-01-09T22:30+01:00",
        "wake": "2026-01-10T06:30+01:00",
        "marks_inferred": "no",
        "start_c": "20",
        "outdoor_low_c": "-7",
        "load_kg": "2.8",
        "air_open_pct": "30",
        "window": "shut",
        "loads_after": "0",
        "load_after_kg": "0",
        "woke_c": "12.5",
    }


def test_a_stay_is_summed_from_its_rows(cabin: Path) -> None:
    """1.6 + 3.2 + 1.6 + 2.8 + 2.4 kg in five loads; two hours and twenty of the day after make 20."""
    first, second = rows_of(summary_tables(told(filled(cabin)))["stays.csv"])
    assert first == {
        "start": "2026-01-09T16:00+01:00",
        "end": "2026-01-10T12:00+01:00",
        "hours": "20",
        "nights": "1",
        "loads": "5",
        "wood_kg": "11.6",
        "indoor_readings": "8",
        "indoor_lowest_c": "4",
        "indoor_highest_c": "20",
        "outdoor_lowest_c": "-7",
        "outdoor_highest_c": "-2",
    }
    assert (second["nights"], second["loads"], second["wood_kg"]) == ("0", "3", "7.2")  # no waking yet


@pytest.mark.parametrize(
    ("read_at", "reset_at", "lowest"),
    [
        ("2026-01-09T16:30", "2026-01-02T12:00", "6"),  # reset a week earlier: the empty cabin's 1 °C
        ("2026-01-10T08:00", "2026-01-09T17:00", "1"),
    ],
)
def test_a_low_from_before_the_stay_is_not_the_stay_s(
    cabin: Path, read_at: str, reset_at: str, lowest: str
) -> None:
    rows = f"at,mark,indoor_c,low_c,reset_at\n2026-01-09T16:00,arrived,6,,\n{read_at},,7,1,{reset_at}\n"
    (stay,) = rows_of(summary_tables(told(filled(cabin, rows)))["stays.csv"])
    assert stay["indoor_lowest_c"] == lowest


def test_what_was_said_is_told_once_it_was_reckoned_and_never_made_up(cabin: Path) -> None:
    place = filled(cabin)
    (before,) = rows_of(summary_tables(told(place), cache=place.cache)["nights.csv"])
    assert (before["said_p50_c"], before["inside_90"]) == ("", "")
    score = nights.nights(told(place), cache=place.cache).nights[0]
    (after,) = rows_of(summary_tables(told(place), cache=place.cache)["nights.csv"])
    for name in ("p05", "p50", "p95"):
        want = getattr(score.predicted_at_wake_c, name)
        assert float(after[f"said_{name}_c"]) == pytest.approx(want, rel=1e-5), name
    assert after["inside_90"] == ("yes" if score.inside_90 else "no")


def test_in_a_long_log_what_was_said_is_told_for_the_newest_nights(
    cabin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each look-up goes through every entry; the dictionary of an export says so."""
    place = filled(cabin)
    nights.nights(told(place), cache=place.cache)
    monkeypatch.setattr(summaries, "LONG_LOG", 1)
    (night,) = rows_of(summary_tables(told(place), cache=place.cache)["nights.csv"])
    assert night["said_p50_c"] != "", "the newest ten are looked up"
    monkeypatch.setattr(summaries, "NEWEST_NIGHTS", 0)
    (night,) = rows_of(summary_tables(told(place), cache=place.cache)["nights.csv"])
    assert night["said_p50_c"] == ""
    assert night["woke_c"] == "12.5"
    (said,) = [m for m in dictionary.NIGHTS if m.name == "said_p05_c"]
    assert "over 20,000 entries" in said.meaning
    assert "newest 10 nights" in said.meaning


def test_a_log_without_a_row_has_tables_without_one(cabin: Path) -> None:
    tables = summary_tables(told(filled(cabin, "")))
    assert tables["nights.csv"] == ",".join(NIGHT_COLUMNS) + "\n"
    assert tables["stays.csv"] == ",".join(("start", "end", "hours", *STAY_COLUMNS)) + "\n"


def test_the_command_writes_them_beside_the_notebook(cabin: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = filled(cabin)
    assert main(["--log", str(place.path), "export", str(cabin / "open")]) == 0
    written = {Path(line).name for line in capsys.readouterr().out.splitlines()}
    tables = {"notebook.csv", "history.csv", "description.toml", "nights.csv", "stays.csv"}
    assert written == tables | WHOLE_AND_ABOUT
    stays = (cabin / "open" / "stays.csv").read_text(encoding="utf-8")
    assert stays.startswith("start,end,hours,nights,")


def test_a_log_without_a_description_still_leaves(cabin: Path) -> None:
    place = place_of(str(cabin / "bare.db"))
    with place.open(create=True) as log:
        done = files.export(log, cabin / "bare", now=NOW + timedelta(hours=1))
    assert {Path(said).name for said in done.said} == {"notebook.csv", "history.csv"} | WHOLE_AND_ABOUT
