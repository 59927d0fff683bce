"""A wood shed lived with for two winters by typed lines, and its answers reckoned by hand at each step."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_cabin import DESCRIPTION

from logbook.actions.woodshed import kind_of
from logbook.cli import main

PER_STERE = {name: 0.65 * kind_of(name).basic_density_kg_per_m3 for name in ("birch", "spruce")}
"""Dry wood in a stere, kg: the handbooks' 0.65 (from memory) by the species table's density."""

DRY_SHARE = 0.82
"""18 % of the wet wood, as the description has it."""

FIRST_WINTER = ("2024-10-11", "2024-11-08", "2024-12-13", "2025-01-17", "2025-02-14", "2025-03-14")
SECOND_WINTER = ("2025-10-10", "2025-11-14", "2025-12-12")
"""Fridays. Each stay has two nights and two loads of 8 kg an evening."""

KG_A_STAY = 32.0


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The log of two winters; the second is half over."""
    folder = tmp_path_factory.mktemp("two winters")
    (folder / "cabin.toml").write_text(DESCRIPTION, encoding="utf-8")
    (folder / "rows.csv").write_text(rows(), encoding="utf-8")
    lines = [
        "5 may 2024 12:00 stack birch 2 stere split may 2024 at north wall cost 120 6 h",
        "5 may 2024 12:05 stack spruce 1 stere split april 2024",
        "20 apr 2025 12:00 count birch 1 stere",
        "4 may 2025 12:00 stack birch 1.5 stere split may 2025",
        "12 dec 2025 21:00 meter birch 20 24% dry fresh",
    ]
    assert run(folder, "setup", str(folder / "cabin.toml"), "--from", "2024-01-01") == 0
    for line in lines:
        assert run(folder, "note", line) == 0, line
    assert run(folder, "import", str(folder / "rows.csv")) == 0
    return folder


def rows() -> str:
    out = ["at,mark,indoor_c,outdoor_c,load_kg,species,air_open_pct,window,coals"]
    for friday in (*FIRST_WINTER, *SECOND_WINTER):
        wood = "birch" if friday < "2025-02-01" else "spruce" if friday < "2025-06-01" else "birch"
        day = int(friday[-2:])
        fri, sat, sun = (f"{friday[:-2]}{day + n:02d}" for n in range(3))
        out += [f"{fri}T17:00,arrived,5.0,0.0,8,{wood},100,shut,", f"{fri}T20:00,,16.0,,8,{wood},60,,"]
        out += [f"{fri}T22:30,bed,19.0,-2.0,,,30,,good", f"{sat}T07:00,woke,12.0,-3.0,,,,,none"]
        out += [f"{sat}T17:30,,14.0,0.0,8,{wood},100,,", f"{sat}T21:00,,18.0,,8,{wood},60,,"]
        out += [f"{sat}T22:30,bed,19.0,-2.0,,,30,,good", f"{sun}T07:00,woke,12.0,-3.0,,,,,none"]
        out += [f"{sun}T15:00,left,14.0,1.0,,,,,"]
    return "\n".join(out) + "\n"


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


def asked(folder: Path, capsys: pytest.CaptureFixture[str], when: str) -> tuple[dict, dict]:
    """The whole answer, and its items by name."""
    capsys.readouterr()
    assert run(folder, "wood", "--as-of", when, "--json", "--quick") == 0
    found = json.loads(capsys.readouterr().out)
    return found, {item["name"]: item for item in found["items"]}


def test_before_the_first_fire_it_is_what_was_put_up(shed, capsys):
    found, items = asked(shed, capsys, "2024-09-01T12:00")
    assert items["birch"]["left_kg_dry"]["p50"] == pytest.approx(2 * PER_STERE["birch"], rel=1e-4)
    assert items["spruce"]["left_m3"]["p50"] == 1.0
    assert found["nights_left"] is None  # nothing was burned yet: no use to go by
    assert found["next_winter"] is None


def test_after_the_new_year_s_stay_four_loads_of_birch_a_weekend_are_gone(shed, capsys):
    """Four weekends by 20 January 2025, 32 kg each at 18 % of the wet wood: 104.96 kg dry."""
    found, items = asked(shed, capsys, "2025-01-20T12:00")
    gone = 4 * KG_A_STAY * DRY_SHARE
    assert items["birch"]["burned_kg"] == 4 * KG_A_STAY
    assert items["birch"]["left_kg_dry"]["p50"] == pytest.approx(2 * PER_STERE["birch"] - gone, rel=1e-4)
    assert items["spruce"]["burned_kg"] == 0.0
    use = found["use"]
    assert (use["from"], use["stays"], use["nights_per_weekend"]) == ("own stays", 4, 2)
    # The first winter has none before it: 8 nights so far go on at their pace, and none of them is whole.
    assert found["this_winter"]["by_former_winters"] == 0
    assert found["next_winter"]["by_former_winters"] == 0


def test_the_spring_count_says_what_was_not_written(shed, capsys):
    """2 steres less 104.96 kg dry; 1 stere counted."""
    _, items = asked(shed, capsys, "2025-04-25T12:00")
    reckoned = 2.0 - 4 * KG_A_STAY * DRY_SHARE / PER_STERE["birch"]
    counted = items["birch"]["last_counted"]
    assert counted["reckoned_m3"]["p50"] == pytest.approx(reckoned, rel=1e-3)
    assert counted["agrees"] is False
    missing_dry = (reckoned - 1.0) * PER_STERE["birch"]
    assert missing_dry < counted["more_went_kg"] < 1.4 * missing_dry  # with the water it holds
    assert items["birch"]["left_m3"]["p50"] == 1.0
    two_stays = 2 * KG_A_STAY * DRY_SHARE
    assert items["spruce"]["left_kg_dry"]["p50"] == pytest.approx(PER_STERE["spruce"] - two_stays, rel=1e-4)


def test_asked_for_the_day_before_the_count_nothing_has_changed(shed, capsys):
    _, items = asked(shed, capsys, "2025-04-19T12:00")
    assert items["birch"]["last_counted"] is None
    assert items["birch"]["left_m3"]["p50"] == pytest.approx(
        2.0 - 4 * KG_A_STAY * DRY_SHARE / PER_STERE["birch"], rel=1e-3
    )


def test_in_summer_new_wood_is_not_dry_and_the_winter_before_tells_what_the_next_takes(shed, capsys):
    """Six weekends of 32 kg: 192 kg a winter. The birch put up green in May takes the whole stack with it."""
    found, items = asked(shed, capsys, "2025-06-15T12:00")
    assert items["birch"]["left_m3"]["p50"] == pytest.approx(2.5)
    assert items["birch"]["ready"]["already"] is False
    assert items["spruce"]["ready"]["already"] is True
    assert found["not_dry_enough_kg"] == items["birch"]["left_kg"]
    assert found["this_winter"] is None
    after = found["next_winter"]
    assert (after["usual_kg"]["p50"], after["by_former_winters"]) == (pytest.approx(6 * KG_A_STAY), 1)
    assert after["to_cut_kg"]["p50"] == 0.0  # two and a half steres are more than a winter


def test_in_december_the_meter_begins_the_drying_anew(shed, capsys):
    """Fresh faces of 20 and 24 % of the dry wood: 22, which is 18.0 % of the wet."""
    found, items = asked(shed, capsys, "2025-12-13T00:30")
    birch = items["birch"]
    assert birch["moisture_from"] == "meter, fresh face"
    assert birch["moisture_pct"]["p50"] == pytest.approx(18.0, abs=0.1)
    assert birch["ready"]["already"] is True
    assert found["not_dry_enough_kg"] is None


def test_in_december_the_winter_before_tells_the_nights_to_come(shed, capsys):
    """After 16 December there were three weekends in the first winter: 6 nights."""
    found, _ = asked(shed, capsys, "2025-12-16T12:00")
    winter = found["this_winter"]
    assert (winter["nights"]["p50"], winter["by_former_winters"]) == (6, 1)
    wood = winter["wood_kg"]["p50"]
    assert wood == pytest.approx(6 * found["use"]["kg_per_night"]["p50"], rel=1e-3)
    # Nine stays burned 16 kg a night at −1 or so outside; the cold months ahead are about as cold.
    assert 10.0 < found["use"]["kg_per_night"]["p50"] < 20.0
    left = found["dry_enough_kg"]["p50"]
    assert found["nights_left"]["p50"] == pytest.approx(left / found["use"]["kg_per_night"]["p50"], rel=1e-3)


def test_the_cost_is_that_of_the_stack_it_was_written_for(shed, capsys):
    found, _ = asked(shed, capsys, "2025-12-16T12:00")
    assert found["cost"]["money_per_m3"] == 60.0
    assert found["cost"]["hours_per_m3"] == 3.0


def test_an_edit_of_the_past_goes_through_to_today(shed, capsys):
    """A load written later for a time before the count changes nothing after it; one after it does."""
    _, before = asked(shed, capsys, "2025-12-16T12:00")
    assert run(shed, "note", "17 jan 2025 23:00 load 50kg birch", "--yes") == 0
    _, after = asked(shed, capsys, "2025-12-16T12:00")
    assert after["birch"]["left_kg"] == before["birch"]["left_kg"]
    then = after["birch"]["last_counted"]["more_went_kg"]
    assert then < before["birch"]["last_counted"]["more_went_kg"]  # more of it is written now
    assert run(shed, "undo") == 0
