"""The command weather, and a day typed by hand in the place of a forecast low: tonight, nights, arrive."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from small_cabin import AS_OF, cabin

from logbook.actions.opening import place_of
from logbook.actions.reckoning import Known, known
from logbook.actions.tonight import Request, low_said, said_low_c
from logbook.cli import main
from logbook.matters import DayWeather, Sky
from logbook.records import Entry, NewEvent

__all__ = ["cabin"]

NOW = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)
"""AS_OF in UTC."""


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def typed(folder: Path, *entries: Entry) -> None:
    with place_of(str(folder / "log.db")).open() as log:
        log.add([NewEvent(entry=entry) for entry in entries])


def told(folder: Path, as_of: datetime = NOW) -> Known:
    with place_of(str(folder / "log.db")).open() as log:
        return known(log, as_of=as_of)


def saturday(low: float, *, hours_ago: float, on: int = 16, **more: object) -> Entry:
    weather = DayWeather(day=date(2026, 1, on), low_c=low, high_c=low + 6.0, **more)
    return Entry(at=NOW - timedelta(hours=hours_ago), matter=weather)


def test_a_typed_day_is_tonights_low_when_it_is_the_newest_word(log):
    """The rows log a low of -10 ten minutes before."""
    assert said_low_c(told(log), Request(as_of=NOW)) == -10.0
    typed(log, saturday(-3.0, hours_ago=1))
    assert said_low_c(told(log), Request(as_of=NOW)) == -10.0
    typed(log, saturday(-17.0, hours_ago=0.1))
    assert said_low_c(told(log), Request(as_of=NOW)) == -17.0
    assert said_low_c(told(log), Request(as_of=NOW, night_low_c=-1.0)) == -1.0


def test_it_may_have_been_typed_days_before(log):
    later = datetime(2026, 1, 22, 12, tzinfo=UTC)  # home on Thursday, asking for Friday comes to Friday's bed
    typed(log, saturday(-14.0, hours_ago=30, on=22))
    assert said_low_c(told(log, later), Request(as_of=later)) == -14.0


@pytest.mark.parametrize(
    "entry", [saturday(-17.0, hours_ago=0.1, on=17), saturday(-17.0, hours_ago=0.1, seen=True)]
)
def test_another_day_or_one_as_it_was_is_not_tonights(log, entry):
    typed(log, entry)
    assert said_low_c(told(log), Request(as_of=NOW)) == -10.0


def test_after_midnight_it_is_still_the_evenings_day(log):
    typed(log, saturday(-17.0, hours_ago=0.1))
    after = datetime(2026, 1, 17, 1, 0, tzinfo=UTC)
    assert said_low_c(told(log, after), Request(as_of=after)) == -17.0


def test_a_past_night_knows_only_what_had_been_typed_by_then(log):
    typed(log, saturday(-21.0, hours_ago=-1))  # an hour later
    asked = told(log, NOW + timedelta(hours=3))
    bed = datetime(2026, 1, 16, 21, 30, tzinfo=UTC)
    assert low_said(asked, at=bed, bed=bed) == -10.0
    assert asked.before(NOW).weather == ()
    assert low_said(asked, at=NOW + timedelta(hours=2), bed=bed) == -21.0


def test_tonight_is_colder_with_a_colder_day_typed(log, capsys):
    said = ["tonight", "--as-of", AS_OF, "--try", "no fire", "--json"]
    assert run(log, *said) == 0
    before = json.loads(capsys.readouterr().out)["choices"][0]["indoor_at_wake_c"]["p50"]
    typed(log, saturday(-25.0, hours_ago=0.01))
    assert run(log, *said) == 0
    after = json.loads(capsys.readouterr().out)
    assert after["choices"][0]["indoor_at_wake_c"]["p50"] < before - 1.0
    assert not any("guessed" in said for said in after["assumed"])


def test_arriving_goes_by_a_typed_day_too(log, capsys):
    door = ["arrive", "--as-of", "2026-01-20T16:00", "--inside", "3", "--json"]
    typed(log, saturday(-19.0, hours_ago=-72, on=20))  # typed on the 19th
    assert run(log, *door) == 0
    cold = json.loads(capsys.readouterr().out)["outdoor_c"]
    typed(log, saturday(2.0, hours_ago=-73, on=20))  # and again an hour later
    assert run(log, *door) == 0
    assert json.loads(capsys.readouterr().out)["outdoor_c"] == pytest.approx(cold + 21.0, abs=0.5)


def test_weather_as_json_and_in_80_columns(log, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    typed(log, saturday(-12.0, hours_ago=1, on=17, wind="strong", sky=Sky.SNOW))
    assert run(log, "weather", "--as-of", AS_OF, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    (day,) = [item for item in found["items"] if item["from"] == "forecast"]
    assert (day["day"], day["low_c"], day["high_c"], day["sky"]) == ("2026-01-17", -12.0, -6.0, "snow")
    assert day["degree_days_k"] == pytest.approx(15.5 + 9.0)
    assert found["coldest"] == {"temperature_c": -7.0, "at": "2026-01-10T06:30:00+01:00"}
    assert run(log, "weather", "--as-of", AS_OF) == 0
    out = capsys.readouterr().out
    assert "Sat 17 Jan" in out
    assert max(map(len, out.splitlines())) <= 80


def test_another_base(log, capsys):
    typed(log, saturday(-12.0, hours_ago=1, on=17))
    assert run(log, "weather", "--as-of", AS_OF, "--base", "10", "--json") == 0
    assert json.loads(capsys.readouterr().out)["coming"]["degree_days_k"] == pytest.approx(19.0)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--base", "155"], "--base 155 °C can't be (-10 to 30 °C)"),
        (["--days", "-1"], "--days -1 days can't be"),
    ],
)
def test_bad_input_says_what_can_be(log, capsys, words, says):
    assert run(log, "weather", *words) == 2
    assert says in capsys.readouterr().err
