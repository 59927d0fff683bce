"""compare, whatif, experiment and the drift in nights, as they are typed: exit codes, JSON, words."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from small_cabin import AS_OF, ROWS, cabin

from logbook.actions.works import monthly_means
from logbook.cli import main
from logbook.cli.arguments import parser, sorted_words
from logbook.errors import BadInputError
from logbook.heat.experiments import nights_each_way
from logbook.heat.verdict import MOST_NIGHTS
from logbook.records import OwnUnits
from logbook.results.night import Range
from logbook.results.works import ChangeAnswer, DriftAnswer, Touched, TrialAnswer, Verdict
from logbook.setting import Setting
from logbook.wording.works import (
    MANY_EACH_WAY,
    MANY_NIGHTS,
    change_text,
    drift_short_text,
    drift_text,
    percent_range_text,
    trial_text,
)

__all__ = ["cabin"]

MORNING_AFTER = """
2026-01-16T22:30,bed,20.0,-8.0,,,,,,
2026-01-17T06:30,woke,13.0,-9.0,,,,none,,
2026-01-17T12:00,left,16.0,-3.0,,,,,,
"""
LATER = "2026-01-18T12:00"
BETWEEN = "2026-01-13"

SETTING = Setting(zone="Etc/GMT-1")
FAHRENHEIT = OwnUnits(temperature="F", mass="lb")


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """Two whole stays of one night each."""
    (cabin / "rows.csv").write_text(ROWS.rstrip() + MORNING_AFTER)
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


# compare


def test_without_a_change_there_is_nothing_to_compare(log, capsys):
    assert run(log, "compare") == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "2 stays" in err
    assert 'nightload change "skirting"' in err


def test_with_no_night_after_it_there_is_nothing_to_compare(log, capsys):
    assert run(log, "change", "skirting", "--from", LATER) == 0
    capsys.readouterr()
    assert run(log, "compare", "--as-of", "2026-01-20") == 1
    err = capsys.readouterr().err
    assert "2 nights with readings before it, 0 after" in err
    assert "Record an evening" in err


def test_with_no_night_before_it_there_is_nothing_to_compare(log, capsys):
    assert run(log, "change", "skirting", "--from", "2025-12-01") == 0
    capsys.readouterr()
    assert run(log, "compare", "skirting", "--as-of", LATER) == 1
    assert "0 nights with readings before it, 2 after" in capsys.readouterr().err


def test_before_and_after_as_the_contract_has_it(log, capsys):
    assert run(log, "change", "skirting", "--from", BETWEEN) == 0
    capsys.readouterr()
    assert run(log, "compare", "--as-of", LATER, "--json") == 0
    (change,) = answered(capsys)["changes"]
    assert change["name"] == "skirting"
    assert change["from"] == "2026-01-13T00:00:00+01:00"
    told = change["heat_loss_change_pct"]
    assert told["p05"] < told["p50"] < told["p95"]
    assert 0.0 < change["chance_helped"] < 1.0
    assert change["verdict"] == "can't tell yet"  # one night each way never tells
    assert change["more_nights"] >= 1
    assert (change["nights_before"], change["nights_after"]) == (1, 1)
    # Again, from the cache and by a part of its name, in words.
    assert run(log, "compare", "skirt", "--as-of", LATER) == 0
    assert "skirting (since Tue 13 Jan 2026): can't tell yet." in capsys.readouterr().out


def test_a_name_that_is_none_lists_those_that_are(log, capsys):
    run(log, "change", "skirting", "--from", BETWEEN)
    capsys.readouterr()
    assert run(log, "compare", "panes", "--as-of", LATER) == 1
    assert '"skirting"' in capsys.readouterr().err


def test_a_moved_thermometer_is_answered_but_not_scored(log, capsys):
    run(log, "change", "thermometer moved", "--from", BETWEEN)
    capsys.readouterr()
    assert run(log, "compare", "--as-of", LATER, "--json") == 0
    (change,) = answered(capsys)["changes"]
    assert (change["verdict"], change["chance_helped"], change["heat_loss_change_pct"]) == (None, None, None)
    assert change["touched"] == "thermometer"
    assert change["effect"]["p05"] < change["effect"]["p95"]


def test_no_log_is_refused(cabin, capsys):
    assert run(cabin, "compare") == 1
    assert "no log" in capsys.readouterr().err


# whatif


def test_what_if_in_json_and_in_words(log, capsys):
    assert run(log, "setup", str(_with_roof(log)), "--from", "2025-01-01") == 0
    capsys.readouterr()
    words = (
        "whatif",
        "roof +100mm mineral wool batt",
        "leakiness tight",
        "--as-of",
        LATER,
        "--outside",
        "-12",
    )
    assert run(log, *words, "--json") == 0
    told = answered(capsys)
    assert told["heat_loss_w_per_k"]["described_then"] < told["heat_loss_w_per_k"]["described_now"]
    assert told["heat_loss_change_pct"]["p95"] < 0.0
    assert told["hours_to_freezing"]["then"]["p50"] > told["hours_to_freezing"]["now"]["p50"]
    assert told["weekend"]["wood_saved_kg"]["p50"] > 0.0
    assert "outdoor readings of the log" in told["weekend"]["outdoor_from"]
    assert run(log, *words, "--year", "-6 -5 -1 4 9 14 16 15 10 5 0 -4") == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Pipes in cold corners freeze before the room does." in out
    assert "months below 12 °C" in out
    assert "Believed only" in out


def test_whatif_has_no_degree_celsius_for_who_counts_in_fahrenheit(log, capsys):
    """The months that need a fire are those below 12 °C, 54 °F: it said 12 °C twice among the °F."""
    (log / "f.toml").write_text((log / "cabin.toml").read_text() + '[units]\ntemperature = "F"\n')
    assert run(log, "setup", str(log / "f.toml"), "--from", "2026-01-08") == 0
    capsys.readouterr()
    year = ("--year", "-6 -5 -1 4 9 14 16 15 10 5 0 -4")
    assert run(log, "whatif", "load limit 5kg", *year, "--as-of", LATER) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert out.count("months below 54 °F") == 2
    assert "°C" not in out


def _with_roof(folder: Path) -> Path:
    file = folder / "roof.toml"
    roof = '[[cabin.surface]]\nkind = "roof"\narea_m2 = 28\nu_w_per_m2k = 0.8\n'
    file.write_text((folder / "cabin.toml").read_text() + roof)
    return file


@pytest.mark.parametrize(
    "words",
    [
        ("roof plus wool",),
        ("window double",),  # none is described
        ("tight", "--year", "1 2 3"),
        ("tight", "--outside", "-90"),
    ],
)
def test_what_can_t_be_is_bad_input(log, capsys, words):
    assert run(log, "whatif", *words, "--as-of", LATER) == 2
    message = capsys.readouterr().err.splitlines()
    assert len(message) >= 2  # what is wrong, and what to do


def test_a_year_is_twelve_temperatures():
    assert monthly_means("−6,-5 -1;4 9 14 16 15 10 5 0 -4")[0] == -6.0
    for text in ("", "1 2 3", "a " * 12, "99 " * 12, "nan " * 12):
        with pytest.raises(BadInputError, match="twelve"):
            monthly_means(text)


def test_a_year_that_begins_with_a_minus_is_taken():
    asked = parser().parse_args(sorted_words(["whatif", "tight", "--year", "-6 -5 -1", "--outside", "-9"]))
    assert (asked.year, asked.outside) == ("-6 -5 -1", -9.0)


# nights and experiment


def test_nights_carries_the_drift(log, capsys):
    assert run(log, "nights", "--as-of", AS_OF, "--json") == 0
    assert answered(capsys)["drift"] == {
        "direction": None, "nights": 0, "miss_k": None, "since": None, "score": 0.0, "tested": 1,
    }  # fmt: skip


def test_an_experiment_says_what_it_takes(log, capsys):
    assert run(log, "experiment", "curtain", "--as-of", AS_OF, "--json") == 0
    told = answered(capsys)
    assert (told["nights_with"], told["nights_without"]) == (0, 1)
    assert told["verdict"] == "no nights yet"
    assert told["nights_each_way"] > 10
    assert run(log, "experiment", "curtain", "--seek", "0", "--as-of", AS_OF) == 2


# Words

CHANGE = ChangeAnswer(
    name="panes",
    since=datetime(2026, 1, 10, 11, 0, tzinfo=UTC),
    touched=Touched.HEAT_LOSS,
    nights_before=9,
    nights_after=7,
    heat_loss_change_pct=Range(-27.0, -20.0, -12.0),
    chance_helped=0.998,
    verdict=Verdict.HELPED,
    more_nights=0,
    wood_saved_kg=Range(3.0, 5.0, 8.0),
    weekend_k=19.0,
)


def test_a_change_that_helped():
    said = change_text(CHANGE, setting=SETTING)
    assert said[0] == "panes (since Sat 10 Jan 2026): helped."
    assert said[1] == (
        "Heat loss 20 % less (27 % less to 12 % less); chance that it is less than before: over 99 in 100."
    )
    assert said[2] == (
        "Wood saved in a usual weekend (48 h, 19 °C above outdoors): 5.0 kg (3.0 kg to 8.0 kg)."
    )
    assert len(said) == 4


def test_one_that_made_it_worse_takes_more_wood():
    worse = replace(
        CHANGE,
        verdict=Verdict.WORSE,
        heat_loss_change_pct=Range(5.0, 12.0, 20.0),
        wood_saved_kg=Range(-6.0, -3.0, -1.0),
        chance_helped=0.004,
    )
    said = change_text(worse, setting=replace(SETTING, units=FAHRENHEIT))
    assert "12 % more (5 % more to 20 % more)" in said[1]
    assert said[2].startswith("More wood in a usual weekend (48 h, 34 °F above outdoors): 6.6 lb (2.2 lb to")


@pytest.mark.parametrize(
    ("more", "words"),
    [(1, "about 1 more night "), (12, "about 12 more nights "), (60, "takes 60 or more nights ")],
)
def test_nights_still_to_go(more, words):
    said = change_text(replace(CHANGE, verdict=Verdict.CANT_TELL, more_nights=more), setting=SETTING)
    assert words in said[2]
    assert MANY_NIGHTS == MOST_NIGHTS


def test_what_spoils_a_comparison_is_said():
    said = "\n".join(
        change_text(
            replace(CHANGE, together_with=("skirting",), taken_out=("new gasket",), stay_left_out=True),
            setting=SETTING,
        )
    )
    assert "together" in said
    assert "skirting" in said
    assert "Taken out: new gasket" in said
    assert "is left out" in said


def test_a_change_of_nothing_is_unchanged():
    assert percent_range_text(Range(-8.0, -0.2, 7.0)) == "unchanged (8 % less to 7 % more)"


def test_drift_is_one_careful_line_or_none():
    quiet = DriftAnswer(direction=None, nights=0, miss_k=None, since=None, score=0.3, tested=12)
    assert drift_text(quiet, setting=SETTING) == ()
    since = datetime(2026, 1, 10, 21, 0, tzinfo=UTC)
    moved = DriftAnswer(direction="colder", nights=5, miss_k=-2.4, since=since, score=1.2, tested=12)
    (line,) = drift_text(moved, setting=SETTING)
    assert line.startswith(
        "Something may have changed: since Sat 10 Jan the last 5 nights came out 2.4 °C colder"
    )
    assert line.startswith(drift_short_text(moved, setting=SETTING)[0])
    for word in ("may be", "gasket", "wetter wood", "thermometer"):
        assert word in line
    assert "carbon" not in line.casefold()


def test_a_trial_in_words():
    trial = TrialAnswer(
        word="curtain", seek_k=1.0, nights_with=4, nights_without=5, night_sd_k=1.5, sd_is_assumed=False,
        difference_k=Range(-0.5, 0.9, 2.3), chance_warmer=0.86, verdict="can't tell yet", nights_each_way=46,
        more_nights=83,
    )  # fmt: skip
    said = trial_text(trial, units=OwnUnits())
    assert said[0] == "curtain: can't tell yet."
    assert said[2] == "At waking +0.9 °C with it (−0.5 °C to +2.3 °C)."
    assert "about 46 nights each way" in said[3]
    assert said[4].startswith("About 83 more nights in all") and "by lot" in said[4]
    # What is past the most that are named was told as that many: 1 °C and 0.2 °C took the same 200.
    assert nights_each_way(night_sd_k=5.0, seek_k=1.0) == nights_each_way(night_sd_k=5.0, seek_k=0.2)
    said = trial_text(replace(trial, nights_each_way=MANY_EACH_WAY, more_nights=391), units=OwnUnits())
    assert "takes 200 or more nights each way" in said[3]
    assert said[4].startswith("At least 391 more nights in all")
    assert nights_each_way(night_sd_k=5.0, seek_k=0.2) == MANY_EACH_WAY


def test_the_line_of_a_day_is_the_site_s():
    late = replace(CHANGE, since=datetime(2026, 1, 10, 23, 30, tzinfo=UTC))
    assert "Sun 11 Jan" in change_text(late, setting=SETTING)[0]
