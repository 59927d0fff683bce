"""One invented year lived by keys, from an empty log to the season's report, its answers reckoned by hand.

What was typed stands in ``the_year_lived``; every expected figure here is worked from it in a comment. Asked
by the commands with ``--json``, as of the day they would be asked.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import the_year_lived as lived
from a_year_by_keys import ZONE, Owner
from small_cabin import learn_quickly

from logbook.actions.woodshed import kind_of
from logbook.cli import main

PER_STERE = {name: 0.65 * kind_of(name).basic_density_kg_per_m3 for name in ("birch", "spruce")}
"""Dry wood in a stere, kg: the handbooks' 0.65 (from memory) by the species table's density."""

# Pieces as filled in on the first page: S 0.8, M 1.6, L 2.8 kg. 20 % of the wet wood is water: 0.8 is dry.
STAYS_KG = (
    19.2,  # October: 1.6 + 4.8 + 3.2; 4.8 (2 S 2 M) + 4.8
    14.4,  # November: 3.2 (2 S 1 M) + 4.8; 6.4 (2 S 3 M)
    41.6,  # New Year: 1.6 + 6.4 + 6.4 again; 4.8 + 6.4 + 3.2; 6.4 + 6.4
    22.4,  # January: 4.8 + 4.8; 6.4 + 6.4
    19.2,  # February: 4.8 + 6.4; 8.0 (2 S 4 M)
    12.8,  # March: 4.8 + 3.2; 4.8
    0.0,  # May
)
IN_ALL_KG = 129.6
DRY = 0.8


@dataclass(frozen=True)
class Year:
    """The log that was lived, what was said to each line, and screens on the way."""

    log: Path
    said: dict[tuple[str, str], str]
    screens: dict[str, str]

    def run(self, *words: str) -> int:
        return main(["--log", str(self.log), *words])


@pytest.fixture(scope="module")
def year(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Year]:
    """Lived once; the tests only ask."""
    folder = tmp_path_factory.mktemp("year")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(folder / "data"))
        patch.setenv("XDG_CACHE_HOME", str(folder / "cache"))
        patch.setenv("TZ", ZONE)  # the first page takes the machine's zone
        patch.setenv("COLUMNS", "80")
        learn_quickly(patch)
        screens: dict[str, str] = {}
        owner = Owner(folder / "log.db", "2026-10-15 19:00")
        screens["empty"] = owner.screen()
        owner.describe(lived.FIRST_EVENING, lived.BLANKS)
        said: list[str] = []
        for stay in (lived.AT_HOME, *lived.STAYS):
            for line in stay:
                said += owner.live((line,))
                if line[0] in lived.LOOKED_AT:
                    screens[line[0]] = owner.screen()
                if line[0] == lived.FIRST_SUGGESTION:
                    screens["tonight"] = owner.press("t").work().screen()
                    owner.press("escape")
        screens["year"] = owner.at("2027-05-20 12:00").press("y").work("year").screen()
        owner.desk.close()
        lines = [line for stay in (lived.AT_HOME, *lived.STAYS) for line in stay]
        yield Year(folder / "log.db", dict(zip(lines, said, strict=True)), screens)


@pytest.fixture
def ask(year: Year, capsys: pytest.CaptureFixture[str]):
    """A command's answer as JSON, as of a time."""

    def asked(as_of: str, *words: str) -> dict:
        capsys.readouterr()
        assert year.run(*words, "--as-of", as_of, "--json") == 0
        return json.loads(capsys.readouterr().out)

    return asked


@pytest.fixture
def page(year: Year, capsys: pytest.CaptureFixture[str]):
    """A command's page as one line of words, as of a time; no row may be wider than its 80 columns."""

    def read(as_of: str, *words: str) -> str:
        capsys.readouterr()
        assert year.run(*words, "--as-of", as_of) == 0
        out = capsys.readouterr().out
        assert max(map(len, out.splitlines())) <= 80
        return " ".join(out.split())

    return read


# Written


def test_from_an_empty_log_every_line_was_kept(year):
    assert "19:00 First evening. Three numbers, then it answers." in year.screens["empty"]
    assert len(year.said) == sum(map(len, (lived.AT_HOME, *lived.STAYS)))
    for (when, line), said in year.said.items():
        assert said.startswith("saved "), (when, line, said)


def test_a_pair_at_the_door_that_could_be_the_air_was_asked_about(year):
    """0/2 in November: nobody has lit the stove, Enter means the two readings."""
    said = year.said["2026-11-13 18:00", "arrived 0/2 ↵"]
    assert said == "saved 18:00 out 0 °C, in 2.0 °C, arrived"


def test_the_first_evening_had_a_suggestion_and_no_fire_among_the_choices(year):
    tonight = year.screens["tonight"]
    assert ">choice" in tonight and "no fire" in tonight


# Lists


def test_packing_holds_what_was_to_bring_and_what_the_forecast_asks_for(ask):
    before = ask("2026-10-22T19:05", "list", "packing")["lines"]
    assert before[0]["name"] == "mouse traps"
    assert {"cold weather things", "first stay things"} <= {line["name"] for line in before}  # -3 is typed
    assert not any(line["done_at"] for line in before)
    after = {line["name"]: line["done_at"] for line in ask("2026-10-22T19:15", "list", "packing")["lines"]}
    assert after["mouse traps"] == "2026-10-22T19:12:00+02:00"  # got
    assert after["somebody knows"] == "2026-10-22T19:10:00+02:00"


def test_droppings_reorder_the_arrival(ask):
    first = [line["name"] for line in ask("2026-10-23T17:01", "list", "arriving")["lines"]]
    assert first[0] == "chimney cap" and "look for droppings" in first
    seen = [line["name"] for line in ask("2026-10-23T17:03", "list", "arriving")["lines"]]
    assert seen[0] == "droppings aired" and "look for droppings" not in seen
    order = [
        seen.index(name) for name in ("alarms at the door", "flue warmed", "fire lit", "alarms again, warm")
    ]
    assert order == sorted(order), "alarms, then the cold flue, then the fire, then alarms again"


def test_a_line_skipped_on_leaving_is_shown_and_comes_back_first(ask):
    leaving = {line["name"]: line for line in ask("2026-10-25T12:20", "list", "leaving")["lines"]}
    assert leaving["roof vent"]["skipped_at"] == "2026-10-25T12:12:00+01:00"
    assert leaving["fire out"]["done_at"] == "2026-10-25T12:10:00+01:00"
    assert [
        left["line"] for left in ask("2026-11-12T19:00", "bring", "--night-low", "-5")["left_undone"]
    ] == ["roof vent"]
    arriving = ask("2026-11-13T18:03", "list", "arriving")["lines"]
    assert (arriving[0]["name"], arriving[0]["done_at"]) == ("roof vent", None)
    done = {line["name"]: line["done_at"] for line in ask("2026-11-13T18:10", "list", "arriving")["lines"]}
    assert done["roof vent"] == "2026-11-13T18:06:00+01:00"


def test_guests_and_spring_have_lines_of_their_own(ask):
    plain, guests = (
        {line["name"] for line in ask("2027-02-11T19:00", "list", "packing", *flags)["lines"]}
        for flags in ((), ("--guests",))
    )
    assert guests - plain == {"bedding for guests"}
    spring = {line["name"]: line["done_at"] for line in ask("2027-03-27T12:30", "list", "spring")["lines"]}
    assert spring["gutters cleared"] == "2027-03-27T11:30:00+01:00"
    assert spring["alarms looked after"] is None, "the test alone is not its batteries and dates"


# Alarms, air, ash


def test_alarms_were_asked_for_at_the_door_and_again_when_warm(year):
    cold, tested, warm, again = (year.screens[when] for when in lived.LOOKED_AT[:4])
    assert "first Alarms not tested this stay." in cold
    assert "Alarms not tested" not in tested and "Press both again" not in tested  # at 1 °C, still cold
    assert "first Alarms were tested at 1 °C; it is warm now. Press both again: k" in warm
    assert "Press both again" not in again


def test_the_turn_down_waited_until_it_was_recorded_by_one_key(year):
    """Turned down 15 min after the first load of the year, to 1/4: that is the habit from then on."""
    waits = year.screens["2026-10-24 18:00"]
    assert "then Air to 1/4 open (3/4 closed) at 18:15. Set a timer." in waits
    assert year.said["2026-10-24 18:20", "d"] == "saved 18:20 air 1/4 open (3/4 closed)"


def test_ash_waits_96_hours_whatever_the_clock_does(year, ask):
    """Filled Saturday 09:30 summer time; 96 h on it is Wednesday 08:30, for the clocks went back."""
    said = year.said["2026-10-24 09:30", "ash out behind the shed"]
    assert "not before Wed 28 Oct 08:30" in said
    ash = ask("2026-10-25T12:00", "due")["ash"]
    assert (ash["state"], ash["not_before"]) == ("waiting", "2026-10-28T08:30:00+01:00")
    assert ash["where"] == "behind the shed"
    assert ask("2026-11-13T18:04", "due")["ash"]["state"] == "wait over"
    assert ask("2026-11-13T18:06", "due")["ash"] is None  # tipped
    assert ask("2027-01-03T12:00", "due")["ash"]["not_before"] == "2027-01-05T10:00:00+01:00"
    assert ask("2027-02-12T17:11", "due")["ash"] is None


# Stays and the season


def test_each_stay_as_it_was_lived(ask):
    stays = ask("2027-06-01T12:00", "stays")["items"]
    stays = sorted(stays, key=lambda stay: stay["start"])
    assert [stay["nights"] for stay in stays] == [2, 2, 3, 2, 2, 2, 2]
    assert [stay["wood_kg"] for stay in stays] == pytest.approx(STAYS_KG)
    assert [stay["head_count"] for stay in stays] == [2, 2, 3, 2, 4, 2, 2]  # the description's 2 where unsaid
    assert [stay["end"][-6:] for stay in stays] == ["+01:00"] * 5 + ["+02:00"] * 2
    coldest = [stay["coldest_dawn_inside"] and stay["coldest_dawn_inside"]["temperature_c"] for stay in stays]
    assert coldest == [9.0, 8.0, 5.0, 4.0, 7.0, 11.0, None]
    assert stays[3]["purpose"] == "skirting"


def test_the_season_on_a_page(ask, page):
    (season,) = ask("2027-07-02T12:00", "stays", "--year")["items"]
    assert season["first_fire"] == "2026-10-23T17:40:00+02:00"
    assert season["last_fire"] == "2027-03-27T18:00:00+01:00"
    assert season["coldest_dawn_inside"]["temperature_c"] == 4.0  # 16 January
    assert season["coldest_dawn_outside"] == {"temperature_c": -16.0, "at": "2027-01-01T09:01:00+01:00"}
    assert season["wood_kg"] == pytest.approx(IN_ALL_KG) == pytest.approx(sum(STAYS_KG))
    assert season["wood_kg_dry"] == pytest.approx(DRY * IN_ALL_KG)
    # 23, 24 Oct; 13, 14 Nov; 30, 31 Dec, 1 Jan; 15, 16 Jan; 12, 13 Feb; 26, 27 Mar
    assert season["burn_days"] == 13
    assert (season["stays"], season["nights"]) == (7, 15)
    assert season["person_nights"] == 2 * 2 + 2 * 2 + 3 * 3 + 2 * 2 + 4 * 2 + 2 * 2 + 2 * 2
    assert "15 in 7 stays, 37 counted by person" in page("2027-07-02T12:00", "stays", "--year")


def test_the_year_page_tells_the_same(year):
    screen = " ".join(year.screens["year"].split())
    assert "season 2026–27: first fire Fri 23 Oct. 7 stays, 15 nights, 130 kg of wood." in screen
    assert "Coldest dawn 4.0 °C." in screen
    assert "due smoke alarm test by 7 Jun 2027" in screen  # a month after 7 May
    assert "“A and B slept like bears.”" in screen


def test_this_weekend_a_year_on(ask):
    (other,) = ask("2027-11-12T12:00", "stays", "--this-weekend")["items"]
    assert (other["year"], other["weeks_off"]) == (
        2026,
        0,
    )  # 13 November 2027 and the 14th of 2026 are Saturdays


def test_the_season_report_adds_up(ask, page):
    ask("2027-07-02T12:00", "compare")  # the report takes the verdict that was reckoned
    report = ask("2027-07-02T12:00", "report", "--season")["report"]
    months = {month["month"]: month for month in report["months"]}
    # New Year's Eve is in both: December has 1.6 + 6.4 + 6.4 + 4.8 + 6.4 + 3.2, January its last two loads.
    assert months["2026-12"]["wood_kg"] == pytest.approx(28.8)
    assert months["2027-01"]["wood_kg"] == pytest.approx(12.8 + 22.4)
    assert sum(month["wood_kg"] for month in months.values()) == pytest.approx(IN_ALL_KG)
    assert (months["2026-12"]["nights"], months["2027-01"]["nights"]) == (2, 3)
    (work,) = report["works"]
    assert (work["name"], work["money"], work["hours"]) == ("skirting", 240.0, 31.0)
    assert work["payback_cannot_tell"] == "noise"


# Supplies


def test_water_by_the_households_own_levels(ask):
    """Three stretches: 12 L, then 8 + 30 − 34 = 4 L, then 27 L.

    2 people from Friday 17:15 to Sunday 12:00, an hour longer than the clock says: 43.75 h, 3.646 days.
    Then half an hour of 2, 42 h of 2 in November and 22 min of 3: 3.588. Then 67 h 38 min of 3: 8.454.
    The planning figure, the middle of 3.785 and 15 L, counts as four person-days.
    """
    found = ask("2027-02-11T19:00", "bring", "--people", "4", "--night-low", "-8")
    (water,) = [use for use in found["supplies"] if use["item"] == "water"]
    days = 2 * 43.75 / 24 + (2 * 0.5 + 2 * 42 + 3 * 22 / 60) / 24 + 3 * (67 + 38 / 60) / 24
    assert water["person_days"] == pytest.approx(days, abs=0.001) == pytest.approx(15.6875, abs=0.001)
    each = (12 + 4 + 27 + 4 * math.sqrt(3.785411784 * 15)) / (days + 4)
    assert water["per_person_day"]["p50"] == pytest.approx(each, abs=0.001)
    assert water["there"] == 0.0  # 7 L less 3.65 person-days in January
    need = next(item["need"] for item in found["items"] if item["item"] == "water")
    assert need["p50"] == pytest.approx(4 * 2.5 * each, rel=1e-3)  # half a day more than the nights


def test_what_was_on_the_list_is_to_bring_until_it_was_got(ask):
    items = [item["item"] for item in ask("2026-11-12T19:00", "bring", "--night-low", "-5")["items"]]
    assert "lamp oil" in items and "mouse traps" not in items


# Wood


def test_the_shed_before_the_first_fire_and_before_the_count(ask):
    before = {item["name"]: item for item in ask("2026-10-22T12:00", "wood", "--quick")["items"]}
    assert before["birch"]["left_kg_dry"]["p50"] == pytest.approx(2 * PER_STERE["birch"], rel=1e-4)
    assert before["spruce"]["left_m3"]["p50"] == 1.0
    # All loads are birch, by the description: 116.8 kg until February, 0.8 of it dry.
    march = {item["name"]: item for item in ask("2027-03-20T12:00", "wood", "--quick")["items"]}
    burned = DRY * sum(STAYS_KG[:5])
    left = march["birch"]["left_kg_dry"]["p50"]
    assert left == pytest.approx(2 * PER_STERE["birch"] - burned, rel=0.01)
    assert march["spruce"]["left_kg_dry"]["p50"] == pytest.approx(PER_STERE["spruce"], rel=1e-4)


def test_a_count_holds_from_its_day_and_says_what_went_unwritten(ask):
    birch = ask("2027-03-27T12:01", "wood", "--quick")["items"][0]
    assert birch["left_m3"]["p50"] == pytest.approx(0.9)
    counted = birch["last_counted"]
    burned_m3 = DRY * (sum(STAYS_KG[:5]) + 8.0) / PER_STERE["birch"]  # March's first evening too
    assert counted["reckoned_m3"]["p50"] == pytest.approx(2.0 - burned_m3, rel=0.01)
    assert counted["agrees"] is False
    after = ask("2027-03-28T12:00", "wood", "--quick")["items"][0]
    assert after["left_m3"]["p50"] == pytest.approx(0.9 - DRY * 4.8 / PER_STERE["birch"], rel=0.01)


def test_moisture_is_the_meters_on_its_day_and_wood_put_up_in_may_is_green(ask):
    """18, 19 and 22 % of the dry wood: 19.7, which is 16.4 % of the wet."""
    birch = ask("2026-11-14T10:01", "wood", "--quick")["items"][0]
    assert birch["moisture_pct"]["p50"] == pytest.approx(100 * 19.67 / 119.67, abs=0.5)
    assert birch["ready"]["already"] is True
    new = {item["name"]: item for item in ask("2027-05-20T12:00", "wood", "--quick")["items"]}["birch new"]
    assert new["ready"]["already"] is False and new["where"] == "south wall"


# Weather and damp


def test_degree_days_of_the_days_typed(ask):
    """Below 15.5 °C, by the Met Office's equation for a day whose high stays below: 15.5 less the mean."""
    ahead = {item["day"]: item["degree_days_k"] for item in ask("2026-10-22T20:00", "weather")["items"]}
    assert ahead == {"2026-10-23": 15.5 - 2.5, "2026-10-24": 15.5 - 0.5}
    season = ask("2027-05-20T12:00", "weather")["season"]
    assert season["degree_days_k"] == pytest.approx(13.0 + 15.0 + (15.5 - 3.5))
    assert (season["days"], season["only_forecast"]) == (3, 2)


def test_damp_on_the_saturday_evening(ask):
    """21 °C at 60 %: dew point 12.9 °C by a psychrometric table (from memory)."""
    found = ask("2026-10-24T20:05", "damp")
    assert found["dew_point_c"] == pytest.approx(12.9, abs=0.1)
    assert found["person_days"] == pytest.approx(2 * (27 + 5 / 60) / 24, abs=0.01)
    assert next(row for row in found["surfaces"] if row["kind"] == "window")["state"] == "wet"


# Upkeep


def flue(found: dict) -> dict:
    return next(item for item in found["items"] if item["task"] == "flue")


def test_the_flue_is_due_by_wood_before_its_year_is_over(ask):
    """Swept 3 September, 100 kg by the owner's rule: 97.6 kg by January, and the second load of February."""
    january = flue(ask("2027-01-20T12:00", "due", "--all"))
    assert january["kg_since"] == pytest.approx(sum(STAYS_KG[:4])) == pytest.approx(97.6)
    assert january["state"] != "due"
    february = flue(ask("2027-02-12T18:00", "due"))
    assert february["kg_since"] == pytest.approx(97.6 + 4.8 + 6.4)
    assert (february["state"], february["decides"]) == ("due", "mass burned")
    assert february["due_on"] == "2027-09-03"  # by its date alone


def test_swept_it_is_due_again_by_the_rhythm_of_the_stays(ask):
    """95.2 kg left of 100; the middle stay burns 19.2 kg, so the fifth from now. Between two begins the
    middle gap is 35 days (28 and 42): next on 11 June, over on the 13th, and four gaps on 31 October."""
    found = flue(ask("2027-05-20T12:00", "due", "--all"))
    assert found["kg_since"] == pytest.approx(4.8)
    assert found["last"]["deposit_mm"] == 2.0
    assert found["expected_on"] == "2027-10-31"


def test_droppings_call_until_holes_are_closed(ask):
    def rodents(as_of: str) -> dict:
        return next(item for item in ask(as_of, "due", "--all")["items"] if item["task"] == "rodents")

    assert rodents("2026-10-25T12:00")["called_for"]
    assert not rodents("2026-11-15T12:00")["called_for"]


def test_the_record_to_print_has_every_finding_by_date(page):
    record = page("2027-05-20T12:00", "due", "--record")
    for words in (
        # 124.8 kg: all but March's last load
        "2027-03-27 flue: done deposit found 2 mm wood burned since the time before 125 kg by K photo "
        "flue.jpg",
        "2027-05-08 flue: looked at deposit found 0 mm",
        "2027-05-08 extinguisher service: done by dealer",
        "2027: 15 Jan, 12 Feb, 26 Mar, 7 May",
    ):
        assert words in record


# Works, paper, leaving


def test_the_skirting_is_not_said_to_have_paid(ask, page):
    (change,) = ask("2027-06-01T12:00", "compare")["changes"]
    assert change["verdict"] == "can't tell yet"
    assert (change["money"], change["hours"], change["surface"]) == (240.0, 31.0, "floor")
    assert change["payback_years"] is None and change["payback_cannot_tell"] == "noise"
    # October, November and New Year before it; February and March after; January, in its middle, is out.
    assert (change["nights_before"], change["nights_after"]) == (2 + 2 + 3, 2 + 2)
    said = page("2027-06-01T12:00", "compare")
    assert "When it has paid for itself can't be told: what it did is not told apart from noise." in said


def test_the_guests_sheet_for_february(year, capsys):
    capsys.readouterr()
    assert year.run("sheet", "guest", "weekend", "--as-of", "2027-02-11T19:00") == 0
    sheet = " ".join(capsys.readouterr().out.split())
    assert "At most 8.0 kg (about 5 M) in the stove at once" in sheet
    assert "Usual here: 4.8 kg (about 3 M)" in sheet
    assert "Never below 1/4 open (3/4 closed)" in sheet
    assert "everybody out" in sheet


def test_leaving_says_hours_as_a_range_and_the_fire_and_water_first(ask):
    left = ask("2026-10-25T12:05", "leave")
    freezing = next(line for line in left["lines"] if line["line_c"] == 0.0)
    assert freezing["hours"]["p05"] < freezing["hours"]["p95"]
    assert left["ash_not_before"] == "2026-10-28T08:30:00+01:00"
    assert left["checklist"][0].startswith("The fire is out")
    assert left["checklist"][1].startswith("Water drained")
