"""Flags and terminals as they come: values that begin with a minus, blank ones, encodings that lack a sign.

Each row failed before it was mended, or guards the mending.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.cli import main
from logbook.cli.arguments import band, sorted_words
from logbook.cli.flag_values import readable
from logbook.errors import BadInputError

__all__ = ["cabin"]


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """A log with its description and two stays."""
    path = cabin / "log.db"
    assert main(["--log", str(path), "setup", str(cabin / "cabin.toml")]) == 0
    assert main(["--log", str(path), "import", str(cabin / "rows.csv")]) == 0
    capsys.readouterr()
    return path


def piped(log: Path, *words: str | bytes, encoding: str = "utf-8") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "logbook", "--log", str(log), *words],
        env={**os.environ, "PYTHONIOENCODING": encoding},
        capture_output=True,
        timeout=60,
        check=False,
    )


def test_a_band_below_zero_works_unquoted(log, capsys):
    """A shell strips quotes: the program can't tell --band "-5-10" from --band -5-10."""
    assert main(["--log", str(log), "tonight", "--as-of", AS_OF, "--band", "-5-10", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["band_c"] == [-5.0, 10.0]


def test_a_value_is_tied_to_its_flag_but_a_line_of_entry_is_left_alone():
    assert sorted_words(["tonight", "--band", "-5-10"]) == ["tonight", "--band=-5-10"]
    assert sorted_words(["tonight", "--try", "-2h load 2kg"]) == ["tonight", "--try=-2h load 2kg"]
    assert sorted_words(["arrive", "--outdoor", "-9,5"]) == ["arrive", "--outdoor=-9,5"]
    assert sorted_words(["tonight", "--band", "--json"]) == ["--json", "tonight", "--band"]
    assert sorted_words(["note", "in", "5", "--band", "-5-10"])[-2:] == ["--band", "-5-10"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [("-5--2", (-5.0, -2.0)), ("−5–10", (-5.0, 10.0)), ("16,5-22", (16.5, 22.0)), ("16 to 22", (16.0, 22.0))],
)
def test_bands_as_they_are_written(text, expected):
    """ "-5--2" was once read as −5 to 2."""
    assert band(text) == expected


@pytest.mark.parametrize("text", ["nan-20", "16-inf", "", "16-22-24"])
def test_what_is_no_band(text):
    with pytest.raises(BadInputError, match="is not a band"):
        band(text)


def test_a_blank_time_is_refused_and_not_taken_for_now(log, capsys):
    """A script whose variable is empty must not get an answer for another moment."""
    assert main(["--log", str(log), "tonight", "--as-of", "", "--json"]) == 2
    got = capsys.readouterr()
    assert got.out == ""
    assert "is not a time" in got.err
    assert main(["--log", str(log), "events", "--since", ""]) == 2


def test_a_word_for_a_number_is_refused_in_plain_words(log, capsys):
    assert main(["--log", str(log), "tonight", "--night-low", "cold"]) == 2
    err = capsys.readouterr().err
    assert "'cold' is not a number" in err
    assert "float" not in err


def test_no_number_loses_its_sign_where_a_minus_can_not_be_shown(log):
    got = piped(log, "note", "-12/18", encoding="ascii")
    assert (got.returncode, got.stderr) == (0, b"")
    assert b"out -12 C, in 18.0 C" in got.stdout


def test_json_is_whole_where_signs_can_not_be_shown(log):
    got = piped(log, "note", "-12/18", "note", "\u00fcber", "--json", encoding="ascii")
    assert json.loads(got.stdout)["sentence"].endswith("out −12 °C, in 18.0 °C, note über")


def test_bytes_that_are_no_utf_8_are_kept_as_latin_1(log):
    got = piped(log, "note", b"in 5 note gr\xfcn")
    assert (got.returncode, got.stderr) == (0, b"")
    assert "note grün" in got.stdout.decode()
    assert readable("grün") == "grün"


def test_a_pipe_whose_bytes_are_no_utf_8_is_heard_to_its_end(log):
    got = subprocess.run(
        [sys.executable, "-m", "logbook", "--log", str(log), "plain"],
        env={**os.environ, "PYTHONIOENCODING": "utf-8:strict"},
        input=b"in 5 note gr\xfcn\nin 6\nquit\n",
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert (got.returncode, got.stderr) == (0, b"")
    assert "note grün" in got.stdout.decode()
    assert "in 6.0 °C" in got.stdout.decode()


# What a script may hand over without knowing


def test_an_outdoor_file_of_another_night_is_refused_with_both_times(log, cabin, capsys):
    """A download of yesterday was once taken at its word for tonight."""
    stale = cabin / "stale.csv"
    stale.write_text("at,outdoor_c\n2020-01-16T22:00,-39\n2020-01-17T04:00,-41\n")
    assert main(["--log", str(log), "tonight", "--as-of", AS_OF, "--outdoor", str(stale)]) == 2
    wrong, what_to_do = capsys.readouterr().err.strip().split("\n")
    assert "from Thu 16 Jan 2020 22:00 to Fri 17 Jan 2020 04:00: none of it lies in the night" in wrong
    assert "--outdoor" in what_to_do


def test_a_change_still_to_come_is_refused_on_the_sites_clock(log, capsys):
    assert main(["--log", str(log), "change", "skirting", "--from", "2099-01-01"]) == 2
    assert "Thu 1 Jan 2099 00:00 is still to come." in capsys.readouterr().err


# The ends of the calendar, where reckoning with time zones fails


@pytest.mark.parametrize("when", ["0001-01-01", "0001-01-01T00:00", "9999-12-31T23:59"])
def test_a_time_at_the_ends_of_the_calendar_is_refused(log, capsys, when):
    for words in (["tonight", "--as-of", when], ["events", "--since", when], ["change", "x", "--from", when]):
        assert main(["--log", str(log), *words]) == 2
        assert "is not in the years from 1970 to 2199" in capsys.readouterr().err


@pytest.mark.parametrize("when", ["0001-01-01T00:00", "0001-01-01 00:00", "9999-12-31T23:59"])
def test_a_typed_year_1_does_not_spoil_the_log(log, capsys, when):
    """Such a line was once kept, and after it neither note nor events could be used any more."""
    assert main(["--log", str(log), "note", f"{when} in 5"]) == 2
    assert "is not in the years 1970 to 2199" in capsys.readouterr().err
    assert main(["--log", str(log), "events"]) == 0


def test_a_blank_date_of_another_program_costs_its_row_and_no_other(log, cabin, capsys):
    """Spreadsheets and loggers write year 1 where they have no date; it once ended the whole import."""
    table = cabin / "blank_dates.csv"
    table.write_text("at,indoor_c\n0001-01-01T00:00:00,9\n2026-01-16T23:50,17\n9999-12-31T23:59,9\n")
    assert main(["--log", str(log), "import", str(table)]) == 0
    got = capsys.readouterr()
    assert got.out.startswith("Brought in 1 of 3 rows")
    assert "line 2: at 0001-01-01 is before 1970; correct the year" in got.err
    assert "line 4: at 9999-12-31 is after 2199; correct the year" in got.err


@pytest.mark.parametrize("words", [("x", "--", "--"), ("--", "x", "--"), ("--", "--", "--")])
def test_a_double_dash_in_the_place_of_a_name_is_told(words: tuple[str, ...], capsys) -> None:
    # argparse gives an empty list for it, which was a TypeError; found by the fuzz.
    assert main(["salvage", *words]) == 2
    assert "A -- stands where NEW.db should be." in capsys.readouterr().err
