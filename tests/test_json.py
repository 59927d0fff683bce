"""The contract's JSON, key by key: what other programs rely on, held against a schema written out here."""

from __future__ import annotations

import json
import math
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from small_cabin import AS_OF, cabin

from logbook.as_json import fit_json, number_json, range_json, time_json
from logbook.cli import main
from logbook.results.night import FitAnswer, Range

__all__ = ["cabin"]

NUMBER = (int, float)
RANGE = {"p05": NUMBER, "p50": NUMBER, "p95": NUMBER}
FIT = {
    "heat_loss_w_per_k": [RANGE, None],
    "time_constant_h": [RANGE, None],
    "heat_capacity_mj_per_k": [RANGE, None],
    "stove_efficiency": [RANGE, None],
    "readings": int,
    "stays": int,
    "effective_draws": NUMBER,
    "seconds": NUMBER,
    "from_description_only": bool,
    "cannot_tell": dict,
}
LOAD = {
    "at": "time",
    "kg_dry": NUMBER,
    "kg": NUMBER,
    "pieces": str,
    "air_open_pct": NUMBER,
    "open_minutes": NUMBER,
}
CHOICE = {
    "loads": (LOAD,),
    "air_open_pct": NUMBER,
    "window": str,
    "indoor_min_c": RANGE,
    "indoor_max_c": RANGE,
    "indoor_at_wake_c": RANGE,
    "chance_in_band": NUMBER,
    "degree_hours_outside": NUMBER,
    "wood_kg": NUMBER,
    "hours": ("time",),
    "indoor_p05_c": (NUMBER,),
    "indoor_p50_c": (NUMBER,),
    "indoor_p95_c": (NUMBER,),
    "untried": bool,
    "reasons": (str,),
    "cautions": (str,),
}
TONIGHT = {
    "as_of": "time",
    "band_c": (NUMBER,),
    "choices": (CHOICE,),
    "advice": str,
    "cautions": (str,),
}
NIGHTS = {
    "nights": (
        {
            "bed": "time",
            "wake": "time",
            "predicted_at_wake_c": RANGE,
            "observed_at_wake_c": [NUMBER, None],
            "inside_90": [bool, None],
        },
    ),
    "count": int,
    "inside_90": int,
    "rmse_c": [NUMBER, None],
}
"""A dict: these keys at least (the contract is extended, never renamed). A tuple: a list of such.
A list: either."""


def mismatches(found: object, schema: object, path: str = "") -> list[str]:
    """Where an answer departs from a schema."""
    if isinstance(schema, dict):
        if not isinstance(found, dict):
            return [f"{path}: no object but {found!r}"]
        missing = [f"{path}.{key}: missing" for key in schema if key not in found]
        return missing + [
            m for key in schema if key in found for m in mismatches(found[key], schema[key], f"{path}.{key}")
        ]
    if isinstance(schema, list):
        return [] if any(not mismatches(found, s) for s in schema) else [f"{path}: {found!r}"]
    if isinstance(schema, tuple) and schema != NUMBER:
        if not isinstance(found, list):
            return [f"{path}: no list but {found!r}"]
        return [m for i, part in enumerate(found) for m in mismatches(part, schema[0], f"{path}[{i}]")]
    if schema == "time":
        good = isinstance(found, str) and datetime.fromisoformat(found).utcoffset() == timedelta(hours=1)
        return [] if good else [f"{path}: {found!r} is no time with the site's offset"]
    if schema is None:
        return [] if found is None else [f"{path}: {found!r}"]
    wrong_bool = isinstance(found, bool) and schema is not bool
    return [] if isinstance(found, schema) and not wrong_bool else [f"{path}: {found!r}"]


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> str:
    path = str(cabin / "log.db")
    assert main(["--log", path, "setup", str(cabin / "cabin.toml")]) == 0
    assert main(["--log", path, "import", str(cabin / "rows.csv")]) == 0
    capsys.readouterr()
    return path


def asked(log: str, capsys: pytest.CaptureFixture[str], *words: str) -> dict:
    assert main(["--log", log, *words, "--as-of", AS_OF, "--json"]) == 0
    return json.loads(capsys.readouterr().out, parse_constant=lambda text: pytest.fail(f"{text} is no JSON"))


def test_fit(log, capsys):
    assert mismatches(asked(log, capsys, "fit"), FIT) == []


def test_nights(log, capsys):
    got = asked(log, capsys, "nights")
    assert mismatches(got, NIGHTS) == []
    assert got["count"] == len(got["nights"]) == 1


def test_tonight_keys(log, capsys):
    got = asked(log, capsys, "tonight")
    assert mismatches(got, TONIGHT) == []
    assert got["as_of"] == "2026-01-16T21:40:00+01:00"
    assert any(not choice["loads"] for choice in got["choices"])


def test_tonight_numbers_agree_with_one_another(log, capsys):
    """Definitions of the contract, recomputed from the answer's own fields."""
    for choice in asked(log, capsys, "tonight")["choices"]:
        assert choice["wood_kg"] == pytest.approx(sum(load["kg"] for load in choice["loads"]), abs=1e-3)
        for load in choice["loads"]:
            assert load["kg_dry"] == pytest.approx(0.82 * load["kg"], abs=1e-3), (
                "18 % of the wet mass is water"
            )
        series = [choice[f"indoor_{p}_c"] for p in ("p05", "p50", "p95")]
        assert {len(s) for s in series} == {len(choice["hours"])}
        assert all(a <= b <= c for a, b, c in zip(*series, strict=True))
        assert choice["indoor_at_wake_c"]["p50"] == pytest.approx(series[1][-1], abs=1e-3)
        assert choice["indoor_min_c"]["p50"] <= choice["indoor_at_wake_c"]["p50"] + 1e-3
        assert choice["indoor_max_c"]["p50"] >= choice["indoor_at_wake_c"]["p50"] - 1e-3
        assert 0 <= choice["chance_in_band"] <= 1
        assert choice["window"] in ("shut", "cracked", "open")
        hours = [datetime.fromisoformat(at) for at in choice["hours"]]
        assert hours == sorted(hours)
        assert hours[-1] - datetime.fromisoformat("2026-01-17T06:30:00+01:00") < timedelta(minutes=5)


def test_safety_holds_in_the_json(log, capsys):
    """Air never below the clean floor; alarms untested stand first; the manual's limit holds."""
    for words in (("tonight",), ("tonight", "--night-low", "-20"), ("tonight", "--get-up", "yes")):
        got = asked(log, capsys, *words)
        assert got["cautions"][0].startswith("Alarms not tested")
        for choice in got["choices"]:
            airs = [choice["air_open_pct"], *(load["air_open_pct"] for load in choice["loads"])]
            assert min(airs) >= 25.0
            assert all(load["kg"] <= 8.0 for load in choice["loads"])


def test_a_tried_plan_has_the_alarm_first_too(log, capsys):
    got = asked(log, capsys, "tonight", "--try", "no fire")
    assert got["cautions"][0].startswith("Alarms not tested")
    assert len(got["choices"]) == 1
    assert got["choices"][0]["loads"] == []


def test_an_alarm_past_its_date_stands_first(cabin, capsys):
    text = (cabin / "cabin.toml").read_text(encoding="utf-8") + "[alarms]\nco_expires = 2026-01-01\n"
    (cabin / "cabin.toml").write_text(text, encoding="utf-8")
    path = str(cabin / "old.db")
    assert main(["--log", path, "setup", str(cabin / "cabin.toml")]) == 0
    assert main(["--log", path, "import", str(cabin / "rows.csv")]) == 0
    assert main(["--log", path, "note", "alarms ok"]) == 0
    capsys.readouterr()
    first_two = asked(path, capsys, "tonight")["cautions"][:2]
    assert any("CO alarm is past" in c for c in first_two)


def test_events(log, capsys):
    assert main(["--log", log, "events", "--json"]) == 0
    got = json.loads(capsys.readouterr().out)["events"]
    assert got[0]["entry"] == {
        "at": "2026-01-09T16:00:00+01:00",
        "indoor_c": 4.0,
        "outdoor_c": -2.0,
        "load_kg": 1.6,
        "kindling": True,
        "air_open_pct": 100.0,
        "window": "shut",
        "mark": "arrived",
    }


def test_the_schema_sees_a_missing_key_and_a_wrong_kind():
    good = {"nights": [], "count": 0, "inside_90": 0, "rmse_c": None}
    assert mismatches(good, NIGHTS) == []
    assert mismatches({**good, "count": True}, NIGHTS) == [".count: True"]
    assert mismatches({k: v for k, v in good.items() if k != "rmse_c"}, NIGHTS) == [".rmse_c: missing"]
    assert mismatches({**good, "rmse_c": {"p05": 1}}, NIGHTS)
    assert mismatches("2026-01-16T21:40:00", "time")


def test_what_cannot_be_told_is_null_with_its_reason():
    fit = FitAnswer(
        heat_loss_w_per_k=Range(150.0, 160.0, 180.0),
        time_constant_h=None,
        heat_capacity_mj_per_k=None,
        stove_efficiency=None,
        readings=300,
        stays=1,
        effective_draws=200.0,
        seconds=1.0,
        from_description_only=False,
        cannot_tell=(("time_constant_h", "the room was never let cool"),),
    )
    got = fit_json(fit)
    assert got["time_constant_h"] is None
    assert got["cannot_tell"] == {"time_constant_h": "the room was never let cool"}
    assert mismatches(got, FIT) == []


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_null(value):
    assert number_json(value) is None
    assert range_json(Range(value, 1.0, 2.0)) == {"p05": None, "p50": 1.0, "p95": 2.0}


def test_times_keep_the_sites_offset_through_the_change_of_clocks():
    """Central European time, 29 March 2026: +01:00 before 01:00 UTC, +02:00 after (directive 2000/84/EC)."""
    vienna = ZoneInfo("Europe/Vienna")
    before = datetime.fromisoformat("2026-03-29T00:30:00+00:00")
    assert time_json(before, zone=vienna) == "2026-03-29T01:30:00+01:00"
    assert time_json(before + timedelta(hours=1), zone=vienna) == "2026-03-29T03:30:00+02:00"
