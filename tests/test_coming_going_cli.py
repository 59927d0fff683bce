"""arrive, leave, woke, and what to write down next, as typed: the contract's keys, words, exit codes."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from small_cabin import AS_OF, cabin

from logbook.actions.coming_going import caution_texts
from logbook.cli import main
from logbook.heat.coming_going_cautions import Scene, Where
from logbook.heat.ranking import NEAR_TIE_DEGREE_HOURS, NEAR_TIE_SHARE
from logbook.records import OwnUnits
from logbook.results.journeys import Narrowing, Note, NoWood, Reached, WriteDownNext
from logbook.results.night import Range
from logbook.setting import Setting
from logbook.wording.coming_going import NO_WOOD_WORDS, line_text, reached_text, stage_text, write_down_text

__all__ = ["cabin"]

ZONE = ZoneInfo("Etc/GMT-1")
COMING = "2026-01-23T16:00"
"""A week after the last row: nobody is there."""
IN_THE_NIGHT = "2026-01-17T02:10"


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


def is_range(found: dict) -> bool:
    return set(found) == {"p05", "p50", "p95"} and found["p05"] <= found["p50"] <= found["p95"]


# arrive


def test_arrive_keeps_to_the_contract(log, capsys):
    assert run(log, "arrive", "--as-of", COMING, "--outdoor", "-8", "--inside", "-2", "--json") == 0
    got = answered(capsys)
    assert {"stages", "checklist", "cautions"} <= set(got)
    assert [stage["name"] for stage in got["stages"]] == ["air", "things", "dry"]
    for stage in got["stages"]:
        assert stage["hours"] is None or is_range(stage["hours"])
        if stage["hours"] is None or stage["hours"]["p95"] >= 14:
            assert stage["more_than_h"] >= 14
    assert got["indoor_c"] == pytest.approx(-2.0, abs=1.0)
    assert got["outdoor_c"] == pytest.approx(-8.0, abs=0.5)
    assert got["as_of"] == "2026-01-23T16:00:00+01:00"


def test_arrive_lays_in_clean_loads_that_fit(log, capsys):
    """Clean floor 25 % and 8 kg in the description; the largest load on record is 3.2 kg, five and more are
    known: nothing over 4 kg."""
    assert run(log, "arrive", "--as-of", COMING, "--outdoor", "-8", "--inside", "-2", "--json") == 0
    loads = answered(capsys)["loads"]
    assert loads
    assert loads[0]["kindling"]
    for load in loads:
        assert load["air_open_pct"] >= 25
        assert 0 < load["kg"] <= 4.0 + 1e-6
        assert load["kg_dry"] < load["kg"]
        assert load["pieces"]


A_POOR_FIRE = (
    "2026-01-30 16:00 arrived in 28F out 20F",
    "2026-01-30 16:10 2 lb birch kindling air open",
    "2026-01-30 16:30 in 64F out 20F",
    "2026-01-30 16:45 3 lb birch air 1/2",
)
"""Two small loads cannot have warmed the room that far, thinks the model; the thermometer says they did."""


def test_arrive_begins_at_what_was_read_half_an_hour_ago(log, capsys):
    """It answered from below 50 °F, and that no fire was needed."""
    for line in A_POOR_FIRE:
        assert run(log, "note", "--yes", line) == 0
    capsys.readouterr()
    assert run(log, "arrive", "--as-of", "2026-01-30T17:00", "--json") == 0
    got = answered(capsys)
    assert got["indoor_c"] == pytest.approx((64 - 32) / 1.8, abs=2.0)
    assert got["no_wood"] != "not needed"


def test_no_wood_is_needed_is_said_only_where_it_is_so(log, capsys):
    """Not "no fire": one may burn."""
    from_cold = ("arrive", "--as-of", COMING, "--outdoor", "-8", "--inside", "-2")
    assert run(log, *from_cold) == 0
    assert "is needed" not in capsys.readouterr().out
    mild = ("arrive", "--as-of", COMING, "--outdoor", "17", "--night-low", "16", "--inside", "20")
    assert run(log, *mild) == 0
    assert "No wood is needed." in capsys.readouterr().out


def test_frost_on_the_walls_is_a_chance_and_said_as_one():
    """It stands from one draw in twenty on: "Walls are below freezing" stood over a room of 8 °C."""
    scene = Scene(inside_c=8.0, outdoor_low_c=2.0, chance_frost=0.05)
    (said,) = caution_texts(scene, Where.ARRIVE_CAUTION, setting=Setting())
    assert said.startswith("Walls may be below freezing")


@pytest.mark.parametrize("why", [why for why in NoWood if why is not NoWood.NOT_NEEDED])
def test_a_way_without_wood_gives_its_reason(why):
    assert NO_WOOD_WORDS[why].startswith("No wood now: ")
    assert "needed" not in NO_WOOD_WORDS[why]


def test_cautions_say_their_numbers_in_the_owners_degrees():
    """28 °C is 82.4 °F, 20 °F the alert for pipes: no °C is left over for who counts in °F."""
    setting = Setting(units=OwnUnits(temperature="F", mass="lb"), zone="Etc/GMT-1")
    scene = Scene(
        inside_c=-2.0, outdoor_low_c=-10.0, fire=1, loads=2, chance_frost=1.0, chance_too_hot=1.0, water="in"
    )
    said = [text for where in Where for text in caution_texts(scene, where, setting=setting)]
    assert any("82 °F" in text for text in said)
    assert any("20 °F" in text for text in said)
    assert not any("°C" in text or "{" in text for text in said)


def test_droppings_reorder_the_arrival(log, capsys):
    def at(words: str, got: dict) -> int:
        return next(i for i, line in enumerate(got["checklist"]) if words in line)

    assert run(log, "arrive", "--as-of", COMING, "--json", "--droppings") == 0
    flagged = answered(capsys)
    assert run(log, "note", "--yes", "23 jan 2026 15:50 droppings on the shelf") == 0
    capsys.readouterr()
    assert run(log, "arrive", "--as-of", COMING, "--json") == 0
    noted = answered(capsys)
    for got in (flagged, noted):
        assert at("stay out for 30 minutes", got) < at("Test both alarms", got) < at("flue is cold", got)
    assert run(log, "arrive", "--as-of", "2026-01-22T16:00", "--json") == 0
    assert not any("30 minutes" in line for line in answered(capsys)["checklist"])


def test_untested_alarms_stand_first_and_a_frozen_one_is_tested_twice(log, capsys):
    assert run(log, "arrive", "--as-of", COMING, "--inside", "-6", "--json") == 0
    got = answered(capsys)
    assert got["cautions"][0].startswith("Alarms not tested this stay")
    assert any("again once the room is over 4 °C" in line for line in got["checklist"])


def test_what_arrive_assumes_is_said(log, capsys):
    assert run(log, "arrive", "--as-of", COMING, "--json") == 0
    bare = " ".join(answered(capsys)["assumed"])
    assert "Inside is not read" in bare
    assert "weather ahead is guessed" in bare
    assert "humidity is assumed" in bare
    given = ("--inside", "3", "--outdoor", "-2", "--rh", "70")
    assert run(log, "arrive", "--as-of", COMING, *given, "--json") == 0
    told = " ".join(answered(capsys)["assumed"])
    assert "Inside is not read" not in told
    assert "weather ahead is guessed" not in told
    assert "humidity is assumed" not in told


def test_what_is_read_at_the_door_is_not_kept(log, capsys):
    assert run(log, "events", "--json") == 0
    before = len(answered(capsys)["events"])
    assert run(log, "arrive", "--as-of", COMING, "--inside", "-2", "--outdoor", "-9") == 0
    capsys.readouterr()
    assert run(log, "events", "--json") == 0
    assert len(answered(capsys)["events"]) == before


def test_arrive_from_the_description_alone(cabin, capsys):
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    capsys.readouterr()
    assert run(cabin, "arrive", "--as-of", COMING, "--outdoor", "-8", "--inside", "-2", "--json") == 0
    got = answered(capsys)
    assert any("description alone" in said for said in got["assumed"])
    assert got["stages"][0]["hours"] is None or is_range(got["stages"][0]["hours"])


def test_arrive_in_words(log, capsys):
    assert run(log, "arrive", "--as-of", COMING, "--outdoor", "-8", "--inside", "-2") == 0
    page = capsys.readouterr().out
    assert all(len(row) <= 120 for row in page.splitlines())
    flat = " ".join(page.split())
    assert "From −2 °C inside, −8 °C outside" in flat
    assert "Air 16 °C: in" in flat
    assert "likely" in flat
    assert "open (" in flat, "air both ways"


# leave


def test_leave_keeps_to_the_contract(log, capsys):
    words = ("--as-of", AS_OF, "--night-low", "-10", "--line", "2")
    assert run(log, "leave", *words, "--json") == 0
    got = answered(capsys)
    assert {"lines", "checklist", "cautions"} <= set(got)
    assert [line["name"] for line in got["lines"]] == ["10 °C", "5 °C", "2 °C", "0 °C"]
    assert [line["line_c"] for line in got["lines"]] == [10, 5, 2, 0]
    middles = [line["hours"]["p50"] for line in got["lines"] if line["hours"]]
    assert middles == sorted(middles)
    assert all(is_range(line["hours"]) for line in got["lines"] if line["hours"])
    assert got["lines"][0]["hours"]["p05"] < got["lines"][0]["hours"]["p95"], "a range, never one hour"
    assert got["fire"] in ("wood", "coals")
    assert got["ash_not_before"] == "2026-01-20T21:40:00+01:00", "96 h from now"


@pytest.mark.parametrize(("command", "name"), [("leave", "leaving"), ("arrive", "arriving")])
def test_its_lines_are_ticked_by_their_words_for_the_list_counts_otherwise(log, capsys, command, name):
    """With coals it had the fire first and the list the water: --done 1 ticked the other of the two."""
    assert run(log, command, "--as-of", AS_OF) == 0
    assert f'Tick it by its words: nightload list {name} --done "…"' in capsys.readouterr().out


def test_leave_says_that_the_room_is_not_the_pipes(log, capsys):
    assert run(log, "leave", "--as-of", AS_OF, "--night-low", "-10") == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "freeze before the room does" in page
    assert "something may still glow in the stove" in page
    assert "not tipped out before Tue 20 Jan 21:40" in page
    assert "Your stove's manual, local codes" in page


def test_leaving_a_stove_found_out_a_day_after_its_last_wood_is_no_leaving_of_fire(log, capsys):
    """For days it said that something may still glow, over a list that had it out."""
    for line in (
        "2026-01-16 22:00 7 kg air 30%",
        "2026-01-17 08:00 in 4 out -8",
        "2026-01-17 21:30 fire out",
    ):
        assert run(log, "note", "--yes", line) == 0
    capsys.readouterr()
    for when, fire in (
        ("2026-01-17T21:40", "coals"),
        ("2026-01-17T23:00", "out"),
        ("2026-01-18T09:00", "out"),
    ):
        assert run(log, "leave", "--as-of", when, "--night-low", "-8", "--json") == 0
        got = answered(capsys)
        assert (when, got["fire"]) == (when, fire)
        assert any("may still glow" in said for said in got["cautions"]) is (fire != "out")
        assert any("Coals are fire" in line for line in got["checklist"]), "felt cold all the same"


def test_the_nights_told_ahead_count_when_leaving(log, capsys):
    """The list had frost ahead at −9 °C by the days typed, and leave guessed its own way down to −1."""
    for line in ("2026-01-22 10:00 arrived in 12 out 3", "2026-01-22 12:00 weather sat -9 -2"):
        assert run(log, "note", "--yes", line) == 0
    capsys.readouterr()
    words = ("leave", "--as-of", "2026-01-22T12:10", "--json")
    assert run(log, *words) == 0
    got = answered(capsys)
    assert got["outdoor_low_c"] == pytest.approx(-9.0, abs=0.1)
    assert not any("is guessed" in said for said in got["assumed"])
    assert run(log, *words, "--night-low", "2") == 0
    assert answered(capsys)["outdoor_low_c"] == pytest.approx(2.0, abs=0.1), "what is said now goes first"


def test_a_guessed_mild_week_takes_no_frost_off_the_leaving_list(log, capsys):
    """Under "frost outside is possible" the list had no line against it: the middle of a guess was 1 °C."""
    assert run(log, "note", "--yes", "2026-04-10 12:00 in 15 out 9") == 0
    capsys.readouterr()
    for more, frost in (((), True), (("--night-low", "4"), False), (("--night-low", "-2"), True)):
        assert run(log, "leave", "--as-of", "2026-04-10T12:10", *more, "--json") == 0
        got = answered(capsys)
        assert more or got["outdoor_low_c"] > 0.0, "the guess"
        assert any("nothing that bursts" in line for line in got["checklist"]) is frost, more


@pytest.mark.parametrize("line", ["left in 19 out -6", "left", "left; 2026-01-16 22:07 left in 19"])
def test_asked_after_the_word_left_it_is_still_about_that_leaving(log, capsys, line):
    """It began anew from the cold outside, "inside is not read", and had no word of the fire left burning."""
    words = ("leave", "--as-of", "2026-01-16T22:10", "--night-low", "-10", "--json")
    assert run(log, "note", "--yes", "2026-01-16 22:00 in 19 out -6") == 0
    capsys.readouterr()
    assert run(log, *words) == 0
    before = answered(capsys)
    for one in f"2026-01-16 22:05 {line}".split("; "):
        assert run(log, "note", "--yes", one) == 0
    capsys.readouterr()
    assert run(log, *words) == 0
    got = answered(capsys)
    assert got["indoor_c"] == pytest.approx(before["indoor_c"], abs=1.0)
    assert got["fire"] == before["fire"] != "out"
    assert any("may still glow" in said for said in got["cautions"])
    assert not any("Inside is not read" in said for said in got["assumed"])


def test_the_day_after_or_with_somebody_there_again_it_is_another_leaving(log, capsys):
    assert run(log, "note", "--yes", "2026-01-16 22:05 left in 19 out -6") == 0
    assert run(log, "note", "--yes", "2026-01-17 09:00 note forgot the keys") == 0
    capsys.readouterr()
    assert run(log, "leave", "--as-of", "2026-01-17T09:10", "--json") == 0
    assert not any("Inside is not read" in said for said in answered(capsys)["assumed"])
    assert run(log, "leave", "--as-of", "2026-01-17T22:30", "--json") == 0
    assert any("Inside is not read" in said for said in answered(capsys)["assumed"])
    assert run(log, "note", "--yes", "2026-01-17 10:00 arrived out -7") == 0
    capsys.readouterr()
    assert run(log, "leave", "--as-of", "2026-01-17T10:10", "--json") == 0
    assert any("Inside is not read" in said for said in answered(capsys)["assumed"])


def test_nobody_looked_so_a_day_alone_does_not_call_it_out(log, capsys):
    assert run(log, "note", "--yes", "2026-01-16 22:00 7 kg air 30%") == 0
    assert run(log, "note", "--yes", "2026-01-17 08:00 in 4 out -8") == 0
    assert run(log, "note", "--yes", "2026-01-17 20:00 in 2") == 0
    capsys.readouterr()
    assert run(log, "leave", "--as-of", "2026-01-17T23:00", "--night-low", "-8", "--json") == 0
    assert answered(capsys)["fire"] != "out"


def test_cold_outside_asks_to_drain_where_there_are_pipes(log, capsys):
    text = (log / "cabin.toml").read_text().replace("volume_m3 = 60", 'volume_m3 = 60\nwater = "in"')
    (log / "wet.toml").write_text(text)
    assert run(log, "setup", str(log / "wet.toml"), "--from", "2026-01-10") == 0
    capsys.readouterr()
    for low, drain in (("-10", True), ("4", False)):
        assert run(log, "leave", "--as-of", AS_OF, "--night-low", low, "--json") == 0
        got = answered(capsys)
        assert any("uninsulated pipes freeze" in said for said in got["cautions"]) is drain
        assert any("Water drained" in line for line in got["checklist"])


def test_mild_weather_never_promises_frost_free_hours(log, capsys):
    assert run(log, "leave", "--as-of", AS_OF, "--outdoor", "9", "--json") == 0
    zero = answered(capsys)["lines"][-1]
    assert zero["more_than_h"] == pytest.approx(120.0, abs=0.5)


# woke, and tonight when bed is past


def test_woke_ranks_the_three(log, capsys):
    assert run(log, "woke", "--as-of", IN_THE_NIGHT, "--json") == 0
    got = answered(capsys)
    kinds = [choice["kind"] for choice in got["choices"]]
    assert sorted(kinds) == ["let it burn", "reload", "window"]
    first = got["choices"][0]
    # What may pass 28 °C in sleep never comes first where another stands, however little it would cost.
    cool = [choice for choice in got["choices"] if not any("28 °C" in said for said in choice["cautions"])]
    assert first in (cool or got["choices"])
    best = min(choice["degree_hours_outside"] for choice in cool or got["choices"])
    tie = max(NEAR_TIE_DEGREE_HOURS, NEAR_TIE_SHARE * best)
    assert first["degree_hours_outside"] <= best + tie + 0.01, "the best, or as good and burning less"
    for choice in got["choices"]:
        assert is_range(choice["indoor_at_wake_c"])
        assert choice["hours"][0][:16] >= "2026-01-17T02:05"
        assert choice["hours"][-1].startswith("2026-01-17T06:30")
        assert choice["air_open_pct"] >= 25
    assert got["wake"] == "2026-01-17T06:30:00+01:00"
    let = next(choice for choice in got["choices"] if choice["kind"] == "let it burn")
    assert let["indoor_max_c"]["p50"] >= let["indoor_p50_c"][0] - 0.6, "judged from now on, not an hour later"


def test_woke_in_words(log, capsys):
    assert run(log, "woke", "--as-of", IN_THE_NIGHT, "--night-low", "-10") == 0
    page = " ".join(capsys.readouterr().out.split())
    for words in ("02:10, inside", "By 06:30:", "Let it burn.", "Window.", "Reload.", "window cracked"):
        assert words in page or (words == "window cracked" and "window open" in page), words


def test_woke_lets_nothing_burn_that_is_out(log, capsys):
    """It said "Let it burn" of a stove whose owner had just written that it is out."""
    assert run(log, "note", "2026-01-17 02:05 fire out") == 0
    capsys.readouterr()
    assert run(log, "woke", "--as-of", IN_THE_NIGHT, "--night-low", "-10") == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "Leave it out. No more wood" in page
    assert "Let it burn" not in page


def test_tonight_asked_when_bed_is_past_looks_ahead_only(log, capsys):
    """02:10, bed was at 22:30: loads are from now on, and the choices agree with what woke tells."""
    assert run(log, "tonight", "--as-of", IN_THE_NIGHT, "--json") == 0
    got = answered(capsys)
    now = datetime(2026, 1, 17, 1, 10, tzinfo=UTC)
    for choice in got["choices"]:
        for load in choice["loads"]:
            assert datetime.fromisoformat(load["at"]) >= now - timedelta(minutes=5)
        assert datetime.fromisoformat(choice["hours"][0]) >= now - timedelta(minutes=5)
    assert any(not choice["loads"] for choice in got["choices"])
    idle = next(c for c in got["choices"] if not c["loads"] and c["window"] == "shut")
    assert run(log, "woke", "--as-of", IN_THE_NIGHT, "--json") == 0
    let = next(c for c in answered(capsys)["choices"] if c["kind"] == "let it burn")
    assert let["indoor_at_wake_c"]["p50"] == pytest.approx(idle["indoor_at_wake_c"]["p50"], abs=0.5)


# a stove gone cold in a stay that goes on

A_DAY_OUT = (
    "2026-01-17 07:00 woke in 13 out -8 coals none",
    "2026-01-17 17:00 in 7 out -7",
)
"""The last wood went in on Friday at 21:15. Some of it lies there unburnt, thinks the model."""


@pytest.fixture
def day_out(log, capsys):
    for line in A_DAY_OUT:
        assert run(log, "note", "--yes", line) == 0
    capsys.readouterr()
    return log


@pytest.mark.parametrize("command", ["tonight", "woke"])
def test_a_stove_cold_since_the_night_wants_kindling(day_out, capsys, command):
    """It had wood laid on "what burns": no kindling, no word that somebody stays awake beside it."""
    assert run(day_out, command, "--as-of", "2026-01-17T21:00", "--json") == 0
    lit = [choice for choice in answered(capsys)["choices"] if choice["loads"]]
    assert lit
    for choice in lit:
        assert choice["loads"][0]["kindling"]
        assert any("The stove is cold: kindling first" in said for said in choice["cautions"])


@pytest.mark.parametrize("command", ["tonight", "woke", "arrive"])
@pytest.mark.parametrize(
    ("said", "kindling"), [("coals none", True), ("fire out", True), ("coals few", False)]
)
def test_who_writes_that_the_stove_is_out_is_believed(log, capsys, command, said, kindling):
    """Four hours after the last wood the model has coals, whatever the owner found in the stove."""
    assert run(log, "note", "--yes", f"2026-01-17 01:00 in 17 {said}") == 0
    capsys.readouterr()
    assert run(log, command, "--as-of", "2026-01-17T01:10", "--json") == 0
    got = answered(capsys)
    loads = [c["loads"][0] for c in got.get("choices", [got]) if c["loads"]]
    assert loads
    assert {load["kindling"] for load in loads} == {kindling}


def test_arriving_to_it_the_list_has_the_cold_flue_and_the_lighting(day_out, capsys):
    """Also where something may still glow in a few draws: what is warned of does not say how it is lit."""
    assert run(day_out, "arrive", "--as-of", "2026-01-17T17:00", "--json") == 0
    got = answered(capsys)
    assert got["loads"][0]["kindling"]
    assert any("leave air and flue open until the stove is cold" in said for said in got["cautions"])
    for words in ("The flue is cold", "Then the fire, as the manual lights it"):
        assert any(words in line for line in got["checklist"]), words


# what to write down next


def test_tonight_tells_what_to_write_down_next(log, capsys):
    assert run(log, "tonight", "--as-of", AS_OF, "--json") == 0
    got = answered(capsys)["write_down_next"]
    notes = {str(note) for note in Note}
    assert {each["what"] for each in got["candidates_tonight"]} <= notes
    assert {each["what"] for each in got["candidates_next_nights"]} <= notes
    assert got["tonight"] is None or got["tonight"] in notes
    assert got["tonight_width_k"] > 0
    for each in got["candidates_tonight"]:
        assert 0 <= each["narrower_pct"] < 100
        assert each["width_k"] <= got["tonight_width_k"] + 1e-6


def test_a_tried_plan_asks_for_nothing(log, capsys):
    assert run(log, "tonight", "--as-of", AS_OF, "--try", "no fire", "--json") == 0
    assert answered(capsys)["write_down_next"] is None


def test_the_page_ends_with_one_sentence_of_it(log, capsys):
    assert run(log, "tonight", "--as-of", AS_OF) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "Worth writing down:" in page or "Nothing cheap that you could write down" in page


# Bad input

BAD = [
    ("arrive", "--outdoor", "-180", "--outdoor"),
    ("arrive", "--inside", "180", "--inside"),
    ("arrive", "--rh", "140", "--rh"),
    ("leave", "--line", "400", "--line"),
    ("leave", "--night-low", "99", "--night-low"),
    ("woke", "--night-low", "-99", "--night-low"),
    ("woke", "--band", "22-16", "band"),
]


@pytest.mark.parametrize("typed", BAD)
def test_what_cannot_be_is_refused_with_the_limits(log, capsys, typed):
    command, flag, value, said = typed
    assert run(log, command, "--as-of", AS_OF, flag, value) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert len(err.strip().splitlines()) == 2, "what is wrong, then what to do"


def test_without_a_description_they_are_refused(tmp_path, capsys):
    for command in ("arrive", "leave", "woke"):
        assert run(tmp_path, command) == 1
        assert "setup" in capsys.readouterr().err


# Words of what lies beyond

SETTING = Setting(zone="Etc/GMT-1")
AT = datetime(2026, 1, 16, 16, 0, tzinfo=UTC)

BEYOND = [
    (Reached(name="air", hours=Range(1.5, 2.7, 6.3), line_c=16.0), "in 1.5 h to 6.3 h, likely 2.7 h"),
    (Reached(name="air", hours=Range(0.0, 0.0, 0.0)), "already"),
    (Reached(name="air", hours=Range(0.0, 0.5, 2.0)), "at once to 2.0 h, likely 30 min"),
    (Reached(name="air", hours=Range(0.0, 0.0, 2.0)), "at once to 2.0 h, likely at once"),
    (Reached(name="air", hours=None, more_than_h=14.0), "in more than 14 h, if at all"),
    (
        Reached(name="air", hours=Range(5.0, 9.0, 14.0), more_than_h=14.0),
        "in 5.0 h to more than 14 h, likely 9.0 h",
    ),
    (
        Reached(name="air", hours=Range(5.0, 14.0, 14.0), more_than_h=14.0),
        "in 5.0 h to more than 14 h, likely more than 14 h",
    ),
]


@pytest.mark.parametrize(("stage", "said"), BEYOND)
def test_hours_in_words(stage, said):
    assert reached_text(stage) == said


def test_stages_and_lines_say_the_clock_in_the_owners_units():
    stage = Reached(name="air", hours=Range(1.5, 2.7, 8.0), line_c=16.0)
    assert stage_text(stage, at=AT, setting=SETTING) == (
        "Air 16 °C: in 1.5 h to 8.0 h, likely 2.7 h (18:30 to Sat 17 Jan 01:00)."
    )
    fahrenheit = Setting(zone="Etc/GMT-1", units=OwnUnits(temperature="F"))
    line = Reached(name="0 °C", hours=Range(4.0, 5.0, 6.0), line_c=0.0)
    assert line_text(line, at=AT, setting=fahrenheit).startswith("32 °F in 4.0 h to 6.0 h")


def narrowing(**shares: float) -> tuple[Narrowing, ...]:
    return tuple(
        Narrowing(note=Note(name), narrower=x, width_k=8.0 * (1.0 - x)) for name, x in shares.items()
    )


def test_the_sentence_says_by_how_much():
    found = WriteDownNext(
        tonight_width_k=8.0,
        next_width_k=9.0,
        tonight=narrowing(outdoor_at_bed=0.25, reading_at_2=0.4),
        next_nights=(),
        best_tonight=Note.OUTDOOR_AT_BED,
    )
    said = write_down_text(found, units=OwnUnits())
    assert "outside at bed" in said
    assert "from 8.0 °C wide to about 6.0 °C" in said
    assert "Should you be up at two: a reading then leaves 4.8 °C of 8.0 °C." in said


def test_with_nothing_worth_it_the_sentence_says_so():
    found = WriteDownNext(
        tonight_width_k=8.0, next_width_k=9.0, tonight=narrowing(outdoor_at_bed=0.01), next_nights=()
    )
    said = write_down_text(found, units=OwnUnits())
    assert said.startswith("Nothing cheap")
    assert "up at two" not in said


def test_leave_tells_the_airing_that_damp_tells_where_humidity_was_read(log, capsys):
    """Nothing is said of airing without a humidity; with one, what damp says, to the letter."""
    assert run(log, "leave", "--as-of", "2026-01-18T11:00", "--json") == 0
    assert answered(capsys)["airing"] is None
    assert run(log, "note", "2026-01-18 10:30 in 19 out -4 rh 70") == 0
    capsys.readouterr()
    assert run(log, "leave", "--as-of", "2026-01-18T11:00") == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Air before it cools" in said
    assert run(log, "leave", "--as-of", "2026-01-18T11:00", "--json") == 0
    found = answered(capsys)["airing"]
    assert found["air_changes"] > 0.0
    assert run(log, "damp", "--as-of", "2026-01-18T11:00", "--json") == 0
    assert answered(capsys)["airing"] == found
