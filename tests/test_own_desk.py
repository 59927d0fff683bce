"""The desk for the owner's own pages, on a real log: blanks, first evening, emergency page, cooling."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from logbook.actions import blanks
from logbook.actions.blank_values import air_open, layers, pieces, surface
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.demo import demo_description
from logbook.errors import LogbookError
from logbook.heat.fit import learn
from logbook.heat.without_fire import without_fire
from logbook.records import Cabin, DatedDescription, Description, OwnUnits, Site, Stove, Window
from logbook.results.app import Standing
from logbook.results.night import Range
from logbook.wording.cabin import change_span_text

NOW = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)
METRIC = OwnUnits()
AMERICAN = OwnUnits(temperature="F", mass="lb")
THREE = {"floor": "28", "volume": "75", "limit": "8"}


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[AppDesk]:
    monkeypatch.setenv("TZ", "UTC")  # a description that names no zone takes the machine's
    found = AppDesk(Place(tmp_path / "cabin.db"), at=NOW)
    yield found
    found.close()


@pytest.fixture
def begun(desk: AppDesk) -> AppDesk:
    more = {"walls": "20 mm board, 90 mm batt", "pieces": "0.8 1.6 2.8", "lever": "how far OPEN"}
    desk.begin({**THREE, **more})
    return desk


# Blanks


IN_FEET = Description(
    cabin=Cabin(floor_m2=27.87, volume_m3=68.0), stove=Stove(max_load_kg=8.165), units=AMERICAN
)


@pytest.mark.parametrize("described", [demo_description(), IN_FEET], ids=["demo", "american"])
def test_every_blank_put_back_as_it_stands_changes_nothing(described: Description) -> None:
    """Showing a value must not round what is kept."""
    for blank in blanks.blanks_of(described):
        if blank.name != blanks.NEW_PART:
            assert blanks.with_blank(described, blank.name, blank.text) == described, blank.name


@pytest.mark.parametrize(
    ("text", "units", "floor_m2"),
    [
        ("28", METRIC, 28.0),
        ("28,5", METRIC, 28.5),
        ("300 ft2", METRIC, 27.870912),  # 300 x 0.3048² exactly
        ("300", AMERICAN, 27.870912),
        ("28 m²", AMERICAN, 28.0),
    ],
)
def test_a_number_is_in_the_owners_unit_or_says_its_own(text: str, units: OwnUnits, floor_m2: float) -> None:
    described = Description(cabin=Cabin(floor_m2=20, volume_m3=68), stove=Stove(max_load_kg=8), units=units)
    assert blanks.with_blank(described, "floor", text).cabin.floor_m2 == pytest.approx(floor_m2)


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("floor", "abc", "'abc' is no number."),
        ("floor", "2800", "2800 is outside 2 to 500 m²."),
        ("floor", "28 acres", "'acres' is no unit known here."),
        ("limit", "0", "0 is outside 0.2 to 100 kg."),
        ("least air", "5/4", "'5/4' is no position of an air lever."),
        ("bed", "25:10", "'25:10' is no clock time."),
        ("smoke alarm", "soon", "'soon' is no date."),
        ("pieces", "S", "'S' is no size with its weight."),
        ("pieces", "S 0.8, s 1.6", "names a size twice"),
        ("to", "12", "From 16 to 12 is no band."),
        ("volume", "750", "is a room 26.8 m high"),
        ("part new", "wall 44", "How does this wall insulate?"),
        ("part new", "tent 44 m2 board", "is no part of the outside"),
        ("part new", "wall 44 m2 single", "A wall has no glazing."),
        ("part new", "wall 44 m2 90 mm fluff", "'fluff' is no material known here."),
        ("part new", "wall 44 m2 4000 mm batt", "4000 mm is outside 0.1 to 3000 mm."),
    ],
)
def test_what_can_not_be_is_said_with_its_numbers_and_what_to_type(name: str, text: str, says: str) -> None:
    described = Description(cabin=Cabin(floor_m2=28, volume_m3=75), stove=Stove(max_load_kg=8))
    with pytest.raises(LogbookError) as refused:
        blanks.with_blank(described, name, text)
    assert says in str(refused.value)
    assert len(str(refused.value).splitlines()) == 2


def test_air_is_read_both_ways() -> None:
    assert air_open("1/4", lever="open") == pytest.approx(25.0)
    assert air_open("3/4 closed", lever="open") == pytest.approx(25.0)
    assert air_open("30 %", lever="open") == pytest.approx(30.0)


def test_three_bare_weights_are_small_medium_large_and_own_names_are_kept() -> None:
    assert pieces("0.8 1.6 2.8", units=METRIC) == (("S", 0.8), ("M", 1.6), ("L", 2.8))
    assert pieces("split 1.2, log 3", units=METRIC) == (("split", 1.2), ("log", 3.0))
    assert pieces("M 3.5", units=AMERICAN)[0][1] == pytest.approx(1.5876, abs=1e-4)  # 3.5 x 0.45359237


def test_parts_of_the_outside() -> None:
    wall = surface("wall 44 m2: 19 board, 9 cm batt", units=METRIC)
    assert [(part.material, part.thickness_mm) for part in wall.layers] == [
        ("softwood", 19.0), ("mineral wool batt", 90.0),
    ]  # fmt: skip
    floor = surface("floor 21 m2 over crawl 28 mm board", units=METRIC)
    assert (floor.over, floor.area_m2) == ("crawl", 21.0)
    window = surface("window 1.6 m2 double S", units=METRIC)
    assert (window.glazing, window.faces) == ("double", "S")
    assert surface("door 1.8 m2 U 2.0", units=METRIC).u_w_per_m2k == 2.0
    assert layers("board")[0].thickness_mm == 20.0


def test_a_layer_of_the_owners_own_material_keeps_its_numbers_when_the_area_changes() -> None:
    """sawmill chips are in no table; the row shows only their name."""
    described = demo_description()
    part = described.cabin.surfaces[0]
    own = part.layers[0].__class__(
        material="sawmill chips", thickness_mm=100, conductivity_w_per_mk=0.07, density_kg_per_m3=150,
        specific_heat_j_per_kgk=1600,
    )  # fmt: skip
    before = part.__class__(kind="wall", area_m2=40, layers=(own,))
    after = surface("wall 45 m² 100 mm sawmill chips", units=METRIC, before=before)
    assert after.layers == (own,) and after.area_m2 == 45


# First evening


def test_three_numbers_are_enough_and_what_was_not_said_is_not_taken_as_said(desk: AppDesk) -> None:
    assert not desk.first_evening({}).enough
    assert desk.first_evening(THREE).enough
    desk.begin(THREE)
    kept = desk.description()
    assert kept is not None
    assert (kept.cabin.floor_m2, kept.cabin.volume_m3, kept.stove.max_load_kg) == (28, 75, 8)
    assert kept.stove.clean_floor_assumed and kept.wood.moisture_assumed and kept.cabin.leakiness is None
    assert desk._log().setting("air_lever_reads") is None, "the first bare fraction must still be asked about"


def test_walls_alone_get_the_area_of_a_compact_floor_and_it_is_said(desk: AppDesk) -> None:
    """A floor of 28 m², 1.4 times as long as wide: sides 4.472 and 6.261 m, height 75/28 m: 57.5 m²."""
    told = desk.first_evening({**THREE, "walls": "90 mm batt"})
    assert told.walls_said == "Their area is taken as 57.5 m² (assumed)."


def test_a_wrong_blank_keeps_nothing(desk: AppDesk) -> None:
    with pytest.raises(LogbookError, match="no material"):
        desk.begin({**THREE, "walls": "fluff"})
    assert desk.description() is None


def test_the_answer_so_far_is_the_models_own_and_better_walls_keep_it_warmer(desk: AppDesk) -> None:
    bare = desk.so_far({**THREE, "walls": "20 mm board"})
    thick = desk.so_far({**THREE, "walls": "20 mm board, 200 mm batt"})
    assert bare is not None and thick is not None

    def lowest(said: str) -> int:
        return int(said.split(" is ")[1].split(" to ", maxsplit=1)[0].replace("−", "-"))

    assert lowest(thick.cools) > lowest(bare.cools)
    assert desk.so_far({"floor": "28"}) is None


def test_the_first_evening_leads_to_a_suggestion_within_the_stoves_limit(begun: AppDesk) -> None:
    evening = begun.tonight(lambda said: None)
    assert any(not choice.loads for choice in evening.answer.choices)
    for choice in evening.answer.choices:
        assert all(load.kg <= 8.0 and load.air_open_pct >= 25.0 for load in choice.loads)
    assert len(evening.short) <= 71


def test_what_was_put_off_comes_back_and_is_forgotten_once_kept(desk: AppDesk) -> None:
    desk.keep_first_texts({"floor": "28"})
    assert desk.first_texts() == {"floor": "28"}
    desk.begin(THREE)
    assert desk.first_texts() == {}


# Description, from now on


def test_a_value_becomes_a_new_version_from_now_and_u_takes_it_back(begun: AppDesk) -> None:
    heard = begun.read_blank("floor", "30")
    assert heard.standing is Standing.READS
    assert heard.sentence == "My cabin has 30 m² of heated floor (was 28)"
    kept = begun.keep_blank(heard)
    assert kept.sentence == "From now on: My cabin has 30 m² of heated floor (was 28). u takes it back."
    versions = begun._log().descriptions()
    assert [v.valid_from for v in versions] == [None, NOW]
    assert versions[1].description.cabin.floor_m2 == 30
    begun.undo()
    assert begun.description() == versions[0].description


def test_a_value_nobody_had_said_takes_the_place_of_no_other(begun: AppDesk) -> None:
    """What was only assumed stood in no blank; its name in the file is nothing to an owner."""
    assert begun.read_blank("moisture", "20").sentence == "My wood has 20 % water in it"


def test_the_same_value_adds_no_version(begun: AppDesk) -> None:
    begun.keep_blank(begun.read_blank("floor", "28"))
    assert len(begun._log().descriptions()) == 1


def test_what_another_value_does_to_the_prior_is_told(begun: AppDesk) -> None:
    tighter = begun.effect("leak", "tight")
    assert tighter is not None and "before" in tighter.sentence and "then" in tighter.sentence
    same = begun.effect("species", "birch")
    assert same is not None and same.sentence.endswith("as before.")
    assert begun.effect("floor", "abc") is None


# Emergency page


def test_the_emergency_page_is_kept_printed_and_taken_back(begun: AppDesk, tmp_path: Path) -> None:
    with pytest.raises(LogbookError, match="not written yet"):
        begun.print_emergency()
    begun.keep_emergency(("OUT, everybody.", "  CALL 112.", ""))
    assert begun.emergency().lines == ("OUT, everybody.", "  CALL 112.")
    assert begun.emergency().checked == "Fri 16 Jan 2026"
    said = begun.print_emergency().sentence
    path = tmp_path / "cabin emergency page.txt"
    assert str(path) in said
    assert path.read_text(encoding="utf-8").splitlines()[3:] == ["OUT, everybody.", "  CALL 112."]
    begun.keep_emergency(("Something else",))
    begun.undo()
    assert begun.emergency().lines == ("OUT, everybody.", "  CALL 112.")
    begun.redo()
    assert begun.emergency().lines == ("Something else",)


def test_the_emergency_page_can_be_written_before_anything_is_described(desk: AppDesk) -> None:
    desk.keep_emergency(("OUT",))
    assert desk.emergency().lines == ("OUT",)


# Cabin


def test_without_a_description_slow_answers_say_what_to_do(desk: AppDesk) -> None:
    with pytest.raises(LogbookError, match="three numbers"):
        desk.expect(lambda said: None)


def test_cooling_falls_towards_outdoors_and_is_that_of_the_networks_time_constant() -> None:
    """Late in the night ln(inside − outside) falls by one per time constant: derived from the same draws."""
    described = Description(
        cabin=Cabin(floor_m2=28, volume_m3=75), stove=Stove(max_load_kg=8), site=Site(timezone="UTC")
    )
    posterior = learn(
        descriptions=(DatedDescription(uuid="x", valid_from=None, description=described),),
        entries=(), as_of=NOW, rng=np.random.default_rng(1),
    )  # fmt: skip
    got = without_fire(posterior, described, from_c=20.0, outdoor_c=-5.0, hours=10.0)
    assert np.allclose(got.inside_c[:, 0], 20.0)
    assert (np.diff(got.inside_c, axis=1) <= 1e-9).all() and (got.inside_c >= -5.0 - 1e-9).all()
    later = got.hours <= 8.0  # two to ten hours after the heat ended, as the time constant is defined
    logs = np.log(got.inside_c[:, later] + 5.0)
    slope = np.polyfit(got.hours[later], logs.T, 1)[0]
    assert np.median(-1.0 / slope / posterior.derived.time_constant_h) == pytest.approx(1.0, abs=0.02)


def test_the_cabin_page_of_a_new_log_says_it_is_from_the_description(begun: AppDesk) -> None:
    page = begun.cabin(lambda said: None)
    assert "description alone" in dict(page.known)["rests"]
    assert page.stove.startswith("Limit 8.0 kg, nothing burned yet. Least air 30 % open")
    assert all(len(said) <= 71 for said in (page.cools, *dict(page.known).values()))


def test_a_what_if_that_cannot_be_read_says_how(begun: AppDesk) -> None:
    with pytest.raises(LogbookError, match="fluff"):
        begun.what_if("roof +90mm fluff")


def test_what_burned_before_now_is_told_for_the_chart(begun: AppDesk) -> None:
    started = NOW - timedelta(hours=3)
    for at, text in ((started, "-8/12 3m air 1/2"), (started + timedelta(hours=2), "17")):
        begun.at = at
        begun.keep(begun.read(text))
    begun.at = NOW
    burned = begun.expect(lambda said: None).burned
    assert burned and burned[0].start >= started - timedelta(minutes=6) and not burned[0].coals_only
    assert burned[-1].end <= NOW + timedelta(minutes=6)


def test_a_room_that_only_cools_has_no_peak_told(begun: AppDesk) -> None:
    begun.at = NOW - timedelta(minutes=10)
    begun.keep(begun.read("-8/19"))
    begun.at = NOW
    told = begun.expect(lambda said: None)
    assert "peak" not in told.short + told.long and "cooling" in told.short
    assert len(told.short) <= 71 and len(told.long) <= 111


def test_pending_on_a_fresh_log(begun: AppDesk) -> None:
    """Alarms wait at once; a load with the air open waits to be turned down; k and d settle them."""
    assert [p.name for p in begun.head().pending] == ["alarms"]
    begun.keep(begun.read("2m air 1/1"))
    assert [p.name for p in begun.head().pending] == ["alarms", "turn-down"]
    for item in begun.head().pending:
        heard = begun.read(item.done)
        assert heard.standing is Standing.READS
        begun.keep(heard)
    assert begun.head().pending == () and begun.head().window is Window.SHUT


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(-17.2, -3.9, "4 to 17 % less"), (-11.4, 2.3, "11 % less to 2 % more"), (1.0, 8.6, "1 to 9 % more")],
)
def test_a_change_is_said_by_its_range(low: float, high: float, said: str) -> None:
    assert change_span_text(Range(low, (low + high) / 2, high)) == said
