"""What owners write besides the night, and what it becomes: each row is a way of writing someone will use.

The forms are those of the word table, the household units of the notes on owners' words, and spelling
variants of them. Read on Friday 16 January 2026, 21:41, in London.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from logbook.entry import Setting, answered, complete, may_tell_matter, read_line
from logbook.entry.matters.beside import read_beside
from logbook.entry.matters.heads import FIRST_WORDS
from logbook.entry.matters.reading import HEADS
from logbook.matters import (
    Ash,
    AshAct,
    Bring,
    Brought,
    DayWeather,
    Improvement,
    Level,
    Matter,
    Seen,
    Sight,
    Sky,
    Stack,
    StackCount,
    StackMoisture,
    StaySaid,
    Tick,
    Upkeep,
    UpkeepRule,
)
from logbook.records import Basis, Flag, OwnUnits
from logbook.results.upkeep_words import TASK_WORDS
from logbook.wording import sentence_of

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)
OUT, TIPPED = AshAct.TAKEN_OUT, AshAct.TIPPED


@pytest.fixture
def known(setting: Setting) -> Setting:
    """The invented cabin with a year of its log behind it."""
    return replace(
        setting,
        own_words=(("box", 35.2),),
        tasks=(*TASK_WORDS, ("north steps", ())),
        stacks=("birch", "birch north wall"),
        supplies=("water", "lamp oil"),
        to_bring=("mouse traps",),
        lists=("guests",),
    )


TELLS: list[tuple[str, Matter]] = [
    # Ash
    ("ash out", Ash(act=OUT)),
    ("Ash out, bucket by the shed", Ash(act=OUT, where="bucket by the shed")),
    ("ASH OUT to bucket on stone", Ash(act=OUT, where="bucket on stone")),
    ("took the ash out", Ash(act=OUT)),
    ("took ash out", Ash(act=OUT)),
    ("ashes out in the snow.", Ash(act=OUT, where="in the snow")),
    ("ash tipped compost", Ash(act=TIPPED, where="compost")),
    ("emptied the ash bucket on the compost", Ash(act=TIPPED, where="on the compost")),
    ("ash bucket tipped", Ash(act=TIPPED)),
    ("tipped the ash behind the shed", Ash(act=TIPPED, where="behind the shed")),
    # Upkeep
    ("swept flue 2 mm", Upkeep(task="flue", deposit_mm=2.0)),
    ("swept", Upkeep(task="flue")),
    ("Swept the chimney, 2,5 mm, by J", Upkeep(task="flue", deposit_mm=2.5, by="J")),
    ("swept flue 1/8 in", Upkeep(task="flue", deposit_mm=3.175)),  # NIST SP 811: 25.4 mm an inch
    ("swept flue by the sweep", Upkeep(task="flue", by="sweep")),
    ("swept flue 1 mm by the fitter", Upkeep(task="flue", deposit_mm=1.0, by="fitter")),
    ("swept flue by the book", Upkeep(task="flue", finding="by the book")),
    ("swept flue by hand", Upkeep(task="flue", finding="by hand")),
    (
        "swept flue 2 mm by J photo a.jpg, photos/b.JPG glazed near the top",
        Upkeep(
            task="flue",
            deposit_mm=2.0,
            by="J",
            photos=("a.jpg", "photos/b.JPG"),
            finding="glazed near the top",
        ),
    ),
    (
        "looked at door rope, holds a note of paper",
        Upkeep(task="door rope", only_looked=True, finding="holds a note of paper"),
    ),
    ("checked cap", Upkeep(task="cap", only_looked=True)),
    ("did gutters two full buckets", Upkeep(task="gutters", finding="two full buckets")),
    ("did the North Steps", Upkeep(task="north steps")),
    ("replaced co alarm until may 2033", Upkeep(task="co alarm", until=date(2033, 5, 1))),
    ("replaced CO alarm until 2033-05", Upkeep(task="co alarm", until=date(2033, 5, 1))),
    ("replaced CO detector until 05/2033", Upkeep(task="co alarm", until=date(2033, 5, 1))),
    ("replaced smoke alarm until 3 May 2033", Upkeep(task="smoke alarm", until=date(2033, 5, 3))),
    ("replaced smoke alarm until 31.12.2033", Upkeep(task="smoke alarm", until=date(2033, 12, 31))),
    ("replaced extinguisher until 2033", Upkeep(task="extinguisher", until=date(2033, 1, 1))),
    ("battery smoke alarm", Upkeep(task="smoke alarm battery")),
    ("changed battery in smoke alarm", Upkeep(task="smoke alarm battery")),
    ("replaced battery in CO alarm", Upkeep(task="co alarm battery")),
    # How often
    ("every 365 days flue", UpkeepRule(task="flue", every_days=365.0)),
    (
        "every 365 days flue or 500 kg or 40 burn days says manual p. 14",
        UpkeepRule(
            task="flue", every_days=365.0, every_kg=500.0, every_burn_days=40.0, source="manual p. 14"
        ),
    ),
    ("every 2 years gutters", UpkeepRule(task="gutters", every_days=730.0)),
    ("every year chimney", UpkeepRule(task="flue", every_days=365.0)),
    ("every 1100 lb flue", UpkeepRule(task="flue", every_kg=498.951607)),  # NIST SP 811: x 0.45359237
    ("never gutters", UpkeepRule(task="gutters")),
    # The shed
    (
        "stack birch 0.9 stere split may 2025 at north wall cost 80 4 h",
        Stack(
            name="birch",
            species="birch",
            volume_m3=0.9,
            as_said="0.9 stere",
            split_on=date(2025, 5, 1),
            where="north wall",
            money=80.0,
            hours=4.0,
        ),
    ),
    (
        "stack birch 2 boxes loose",
        Stack(name="birch", species="birch", mass_kg=70.4, as_said="2 boxes", loose=True),
    ),
    ("Stacked Alder 500kg", Stack(name="alder", species="alder", mass_kg=500.0, as_said="500kg")),
    ("stack Birke 1,5 rm", Stack(name="birke", volume_m3=1.5, as_said="1,5 rm")),
    ("stack Buche 2 SRM", Stack(name="buche", volume_m3=2.0, as_said="2 SRM", loose=True)),
    ("stack oak 2 m³ loose", Stack(name="oak", species="oak", volume_m3=2.0, as_said="2 m³", loose=True)),
    ("stack 0.9 stere of red oak", Stack(name="red oak", species="oak", volume_m3=0.9, as_said="0.9 stere")),
    (
        "stack pine 2 m x 1.2 m x 40 cm under the eaves",
        Stack(
            name="pine",
            species="pine",
            volume_m3=0.96,
            as_said="2 m x 1.2 m x 40 cm",
            where="under the eaves",
        ),
    ),
    ("stack pine 300 splits split last may", Stack(name="?")),
    ("count birch 0.4 stere", StackCount(name="birch", volume_m3=0.4, as_said="0.4 stere")),
    ("count birch north wall 120 kg", StackCount(name="birch north wall", mass_kg=120.0, as_said="120 kg")),
    ("count Birch gone", StackCount(name="birch", volume_m3=0.0, as_said="0")),
    ("count birch 0", StackCount(name="birch", volume_m3=0.0, as_said="0")),
    (
        "meter birch 17 19 21% dry fresh",
        StackMoisture(name="birch", readings_pct=(17.0, 19.0, 21.0), basis=Basis.DRY, fresh_face=True),
    ),
    (
        "meter birch 17,5, 19, 21 % outside face",
        StackMoisture(name="birch", readings_pct=(17.5, 19.0, 21.0), basis=Basis.WET, fresh_face=False),
    ),
    ("meter oak 17/19/21", StackMoisture(name="oak", readings_pct=(17.0, 19.0, 21.0), basis=Basis.WET)),
    # Supplies
    ("droppings on the shelf", Seen(sight=Sight.DROPPINGS, place="shelf")),
    ("droppings in drawer 3", Seen(sight=Sight.DROPPINGS, place="drawer 3")),  # was 3 °C in the drawer
    ("mouse droppings under bunk 2", Seen(sight=Sight.DROPPINGS, place="under bunk 2")),
    ("droppings, drawer 3", Seen(sight=Sight.DROPPINGS, place="drawer 3")),  # as it is said back
    ("leak roof 2 gone", Seen(sight=Sight.GONE, place="leak roof 2")),
    ("mouse droppings on the shelf", Seen(sight=Sight.DROPPINGS, place="shelf")),
    ("weather is -8 -2", DayWeather(day=date(2026, 1, 16), low_c=-8.0, high_c=-2.0)),
    ("weather forecast sat -8 -2", DayWeather(day=date(2026, 1, 17), low_c=-8.0, high_c=-2.0)),
    ("weather 15 feb -8 -2", DayWeather(day=date(2026, 2, 15), low_c=-8.0, high_c=-2.0)),  # 30 days ahead
    ("cost firewood 80 euros: delivered", Improvement(name="firewood", money=80.0, what="delivered")),
    ("cost firewood 1.200,50 EUR", Improvement(name="firewood", money=1200.5)),
    ("cost firewood €80,", Improvement(name="firewood", money=80.0)),
    (
        "stack oak 2 cubic meters",
        Stack(name="oak", species="oak", volume_m3=2.0, as_said="2 cubic meters"),
    ),
    ("people K & J", StaySaid(people=("K", "J"))),
    ("people K++J", StaySaid(people=("K", "J"))),
    ("done packing 3", Tick(list_name="packing", line="3", done=True)),
    ("level water 14 L", Level(item="water", amount=14.0, unit="L")),
    ("Level Water 14,5l", Level(item="water", amount=14.5, unit="L")),
    ("level gas 40 %", Level(item="gas", amount=40.0, unit="%")),
    ("level gas half full", Level(item="gas", amount=50.0, unit="%")),
    ("level 14 L water", Level(item="water", amount=14.0, unit="L")),  # was a note
    ("level 2 bottles of Lamp Oil", Level(item="lamp oil", amount=2.0, unit="bottles")),
    ("level big blue can water 4 L", Level(item="big blue can water", amount=4.0, unit="L")),
    ("brought 4 L of big blue can water", Brought(item="big blue can water", amount=4.0, unit="L")),
    ("brought Lamp Oil 2 L", Brought(item="lamp oil", amount=2.0, unit="L")),
    ("level 2/3 lamp oil", Level(item="lamp oil", amount=66.667, unit="%")),  # was air 2/3 open
    ("level half full water", Level(item="water", amount=50.0, unit="%")),
    ("level 1/4 of the water", Level(item="water", amount=25.0, unit="%")),
    ("level gas 1/4", Level(item="gas", amount=25.0, unit="%")),
    ("level gas two thirds", Level(item="gas", amount=66.667, unit="%")),  # was 2 of gas
    ("level lamp oil a third", Level(item="lamp oil", amount=33.333, unit="%")),
    ("level gas three quarters full", Level(item="gas", amount=75.0, unit="%")),
    ("level AA batteries 12", Level(item="AA batteries", amount=12.0)),
    ("level propane 2 1/2 bottles", Level(item="propane", amount=2.5, unit="bottles")),
    ("brought water 20 L", Brought(item="water", amount=20.0, unit="L")),
    ("brought 5 gallons of water", Brought(item="water", amount=5.0, unit="gal")),
    ("bring mouse traps 2", Bring(item="mouse traps", amount=2.0)),
    ("bring 2 mouse traps", Bring(item="mouse traps", amount=2.0)),
    ("bring lamp oil 0.5 L", Bring(item="lamp oil", amount=0.5, unit="L")),
    ("bring a new kettle", Bring(item="new kettle")),
    ("bring an axe", Bring(item="axe")),
    ("bring some rope", Bring(item="rope")),
    ("bring more matches", Bring(item="matches")),
    ("got mouse traps", Bring(item="mouse traps", got=True)),
    ("got the mouse traps", Bring(item="mouse traps", got=True)),
    ("got some Mouse traps", Bring(item="mouse traps", got=True)),
    ("got 2 mouse traps", Bring(item="mouse traps", got=True)),
    # Lists and the stay
    ("done leaving: water drained", Tick(list_name="leaving", line="water drained")),
    ("skip leaving: roof vent", Tick(list_name="leaving", line="roof vent", done=False)),
    ("Done guests: beds made", Tick(list_name="guests", line="beds made")),
    ("people K J", StaySaid(people=("K", "J"))),
    ("people: anna, Ben and k", StaySaid(people=("anna", "Ben", "k"))),
    ("people K+J", StaySaid(people=("K", "J"))),
    ('guest book "Snow to the sills"', StaySaid(guest_book='"Snow to the sills"')),
    ("people 3", StaySaid(count=3)),
    ("people K J, purpose roof work", StaySaid(people=("K", "J"), purpose="roof work")),
    ("purpose roof work", StaySaid(purpose="roof work")),
    ("guest book: Snow to the sills.", StaySaid(guest_book="Snow to the sills.")),
    ("Guestbook: a note of thanks, Sunday 10:00", StaySaid(guest_book="a note of thanks, Sunday 10:00")),
    # Works, damp, weather
    (
        "cost skirting 240 31 h on floor",
        Improvement(name="skirting", money=240.0, hours=31.0, surface="floor"),
    ),
    ("cost Storm panes €1,240.50, 6 hours", Improvement(name="Storm panes", money=1240.5, hours=6.0)),
    ("cost skirting 1.240 €", Improvement(name="skirting", money=1240.0)),
    ("cost skirting 18,50", Improvement(name="skirting", money=18.5)),
    ("cost $240 for new gasket", Improvement(name="new gasket", money=240.0)),
    ("droppings", Seen(sight=Sight.DROPPINGS)),
    ("Mouse droppings in the drawer", Seen(sight=Sight.DROPPINGS, place="drawer")),
    ("sweating windows", Seen(sight=Sight.SWEATING, place="windows")),
    ("mold behind the bunk", Seen(sight=Sight.MOULD, place="behind the bunk")),
    ("nest in cap", Seen(sight=Sight.NEST, place="cap")),
    ("leak at flashing gone", Seen(sight=Sight.GONE, place="leak at flashing")),
    ("traps gone", Seen(sight=Sight.GONE, place="traps")),
    (
        "weather sat -8 -2 strong clear",
        DayWeather(day=date(2026, 1, 17), low_c=-8.0, high_c=-2.0, wind="strong", sky=Sky.CLEAR),
    ),
    ("weather was 16 jan -9 -2", DayWeather(day=date(2026, 1, 16), low_c=-9.0, high_c=-2.0, seen=True)),
    ("weather -2/-8,5 snow", DayWeather(day=date(2026, 1, 16), low_c=-8.5, high_c=-2.0, sky=Sky.SNOW)),
    ("tomorrow weather low −8 high −2", DayWeather(day=date(2026, 1, 17), low_c=-8.0, high_c=-2.0)),
    ("weather was thu 14F 28F", DayWeather(day=date(2026, 1, 15), low_c=-10.0, high_c=-2.2222222, seen=True)),
]
TELLS = [row for row in TELLS if row[1] != Stack(name="?")]


def near(got: object, want: object) -> None:
    """Field by field: numbers to a thousandth of a unit, the rest exactly."""
    assert type(got) is type(want), got
    for name in got.__dataclass_fields__:
        mine, theirs = getattr(got, name), getattr(want, name)
        assert mine == (pytest.approx(theirs, abs=1e-3) if isinstance(theirs, float) else theirs), (name, got)


@pytest.mark.parametrize(("line", "tells"), TELLS)
def test_what_a_line_tells(line: str, tells: Matter, known: Setting) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert got.problem is None and got.questions == () and got.left_over == "", got
    assert got.entry is not None and got.entry.is_matter_alone
    near(got.entry.matter, tells)


CORD_M3 = 3.624556  # K-State Extension, as reported: 4 x 4 x 8 ft = 128 ft3; x 0.3048^3 m3 (NIST SP 811)
VOLUMES = [  # typed, m³, where from
    ("1 cord", CORD_M3, "128 ft3"),
    ("1/2 cord", CORD_M3 / 2, "half of it"),
    ("half a cord", CORD_M3 / 2, "half of it"),
    ("1 1/2 cords", CORD_M3 * 1.5, "one and a half"),
    ("85 cu ft", 2.406932, "NIST SP 811: x 0.0283168466 m3"),
    ("3 face cords 16 in", CORD_M3, "three ricks of 16 in are 48 in, a cord's depth"),
    ("rack 40 cm", 2.9728973 * 0.4, "32 ft2 = 2.9728973 m2, by the length"),
    ('2 racks 16"', 2.9728973 * 2 * 0.4064, "as above, twice, 16 x 25.4 mm"),
    ("0,9 ster", 0.9, "a stere is 1 m3 stacked: AIEL handbook, from memory"),
    ("2 cubic metres", 2.0, "m3"),
    ("8x4x16in", 0.0, ""),
    ("row 6 m x 1.5 m x 33 cm", 2.97, "the product"),
    ("8 ft x 4 ft x 16 in", CORD_M3 / 3, "a third of a cord"),
]
VOLUMES = [row for row in VOLUMES if row[2]]


@pytest.mark.parametrize(("said", "volume_m3", "source"), VOLUMES)
def test_volumes_in_household_units(said: str, volume_m3: float, source: str, known: Setting) -> None:
    got = read_line(f"stack oak {said}, split march", now=NOW, setting=known)
    assert got.problem is None, got.problem
    stack = got.entry.matter
    assert stack.volume_m3 == pytest.approx(volume_m3, rel=1e-5), source
    assert (stack.as_said, stack.name, stack.split_on) == (said, "oak", date(2025, 3, 1))


PROSE = [
    "ash out of control",
    "ash tree fell on the road",
    "level crossing was closed",
    "level crossing 3 was closed",
    "level 3 was closed",
    "level full water butts outside",
    "level one two three four five 4 L",
    "brought 4 L of one two three four five",
    "count me in",
    "bring it on",
    "people came",
    "people 3 houses down were loud",
    "PEOPLE CAME BY",
    "did nothing today",
    "did not sleep",
    "did we leave the key",
    "checked in on the neighbours",
    "looked after the dog",
    "changed the bed sheets",
    "never again",
    "never slept so well",
    "every night colder",
    "every 2 hours fed the stove",
    "every 3 days we ate fish",
    "stack fell over",
    "stack of plates broke",
    "meter reads 14 kWh",
    "meter box iced up",
    "brought mail",
    "got cold towards morning",
    "got mouse",
    "done for the day",
    "done leaving",
    "skip the sauna",
    "purpose of the visit unclear",
    "guest came late",
    "guest book is full",
    "cost of living",
    "cost me 3 nights of sleep",
    "frost expected",
    "splash of oil on the sill",
    "nest box is up",
    "mouse behind the wood box",
    "weather is terrible",
    "weather 3 days of rain",
    "battery low on the radio",
    "took photos",
    "emptied the fridge",
    "note ash out",
    "note people K J",
]


@pytest.mark.parametrize("line", PROSE)
def test_prose_stays_a_note_whole(line: str, known: Setting) -> None:
    """Words of a matter that say something else: kept as before, nothing lost."""
    got = read_line(line, now=NOW, setting=known)
    while got.questions:
        got = answered(got, "enter")
    assert got.problem is None and got.entry is not None
    assert got.entry.matter is None
    assert got.entry.note == line.removeprefix("note ")


NIGHT = [
    ("frost tonight -5", {"forecast_low_c": -5.0, "note": "frost"}),
    ("left the did list, -9/18", {"outdoor_c": -9.0, "indoor_c": 18.0}),
    ("2kg birch", {"load_kg": 2.0, "species": "birch"}),
    ("2kg ash", {"load_kg": 2.0, "species": "ash"}),
    ("moisture 18% wet", {"moisture_pct": 18.0}),
    ("forecast -13", {"forecast_low_c": -13.0}),
    ("-12/18, ash out tomorrow", {"outdoor_c": -12.0, "indoor_c": 18.0}),
]


@pytest.mark.parametrize(("line", "values"), NIGHT)
def test_lines_of_the_night_stay_what_they_are(line: str, values: dict[str, object], known: Setting) -> None:
    got = read_line(line, now=NOW, setting=known).entry
    assert {name: getattr(got, name) for name in values} == values
    assert got.matter is None


@pytest.mark.parametrize(
    ("line", "matter"),
    [
        ("ash out at 8 in the evening", Ash(act=OUT)),  # the time was kept as its place
        ("swept flue yesterday at 8 in the evening", Upkeep(task="flue")),  # was 8 inches of deposit
        ("level water 14 L at 8 in the evening", Level(item="water", amount=14.0, unit="L")),
    ],
)
def test_a_time_of_a_half_of_the_day_ends_a_matter(line: str, matter: Matter, known: Setting) -> None:
    got = read_line(line, now=NOW, setting=known).entry
    assert got is not None
    assert (got.matter, got.note, got.at.hour, got.at.minute) == (matter, None, 20, 0)


BESIDE = [  # line, matter, note, values of the night
    ("woke, ash out", Ash(act=OUT), None, {"mark": "woke"}),
    ("-12/18, ash out bucket by the shed, 2kg birch", Ash(act=OUT, where="bucket by the shed"), None,
     {"outdoor_c": -12.0, "indoor_c": 18.0, "load_kg": 2.0}),
    ("arrived, people K J", StaySaid(people=("K", "J")), None, {"mark": "arrived"}),
    ("18,5; level water 14 L, note pump squeaks", Level(item="water", amount=14.0, unit="L"), "pump squeaks",
     {"indoor_c": 18.5}),
    ("cold evening, droppings in drawer", Seen(sight=Sight.DROPPINGS, place="drawer"), "cold evening", {}),
    # Only what is read without a doubt.
    ("18, did the dishes", None, "did the dishes", {"indoor_c": 18.0}),
    ("18, people 0", None, "people 0", {"indoor_c": 18.0}),
    ("18, stack oak 2 racks", None, "stack oak 2 racks", {"indoor_c": 18.0}),
    ("18, note woke early, ash out", None, "woke early, ash out", {"indoor_c": 18.0}),
]  # fmt: skip


@pytest.mark.parametrize(("line", "tells", "note", "values"), BESIDE)
def test_a_matter_beside_the_night_is_not_lost_in_a_note(line, tells, note, values, known):
    """The ash's clock must not hang on where in the line the ash stands."""
    got = read_line(line, now=NOW, setting=known)
    assert got.problem is None and got.questions == ()
    assert (got.entry.matter, got.entry.note) == (tells, note)
    assert {name: getattr(got.entry, name) for name in values} == values


def test_a_time_before_the_night_is_the_matters_too(known: Setting) -> None:
    got = read_line("last night 11 -9/17, ash out", now=NOW, setting=known)
    assert got.entry.at == datetime(2026, 1, 15, 23, 0, tzinfo=UTC)
    assert (got.entry.matter, got.entry.outdoor_c) == (Ash(act=OUT), -9.0)
    said = sentence_of(got.entries, known, now=NOW)
    assert "not before Mon 19 Jan 23:00" in said
    assert read_line(said, now=NOW, setting=known).entry == got.entry, "and it can be typed again"


# Time


TIMES = [
    ("last night 11 ash out", "2026-01-15T23:00"),
    ("ash out last night 11", "2026-01-15T23:00"),
    ("18:30 level water 12 L", "2026-01-16T18:30"),
    ("level water 12 L, yesterday 18:30", "2026-01-15T18:30"),
    ("level water 12 L 18:30 pump slow", "2026-01-16T18:30"),
    ("-2h ash out", "2026-01-16T19:41"),
    ("swept flue on 3 dec", "2025-12-03T12:00"),
    ("on 3 dec swept flue", "2025-12-03T12:00"),
    ("swept flue on 3 dec 2024 2 mm", "2024-12-03T12:00"),
    ("2025-11-02 swept flue 1 mm", "2025-11-02T12:00"),
    ("did gutters sat", "2026-01-10T12:00"),
    ("did gutters today", "2026-01-16T12:00"),
    ("did gutters yesterday morning", "2026-01-15T08:00"),
    # A day alone starts the clock of the ash at its end: sooner could be too soon.
    ("ash out yesterday", "2026-01-15T23:59"),
    ("ash out on 14 jan", "2026-01-14T23:59"),
]


@pytest.mark.parametrize(("line", "at"), TIMES)
def test_when_it_was(line: str, at: str, known: Setting) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert got.questions == () and got.entry.matter is not None, got
    assert f"{got.entry.at:%Y-%m-%dT%H:%M}" == at
    assert got.at_typed


def test_a_day_alone_today_is_now_while_noon_is_ahead(known: Setting) -> None:
    got = read_line("did gutters today", now=NOW.replace(hour=9), setting=known)
    assert got.questions == () and got.entry.at == NOW.replace(hour=9)


@pytest.mark.parametrize(
    ("line", "kept", "other"),
    [
        ("swept flue on 3 feb", "Tue 3 Feb 2026 12:00", "2025-02-03T12:00"),
        ("swept flue on 3 feb 2027", "Wed 3 Feb 2027 12:00", None),
        ("swept flue tomorrow", "Sat 17 Jan 2026 12:00", None),
    ],
)
def test_a_sweep_in_the_future_is_asked_about_and_kept_if_meant(
    line: str, kept: str, other: str | None, known: Setting
) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert [q.kind for q in got.questions] == ["future"] and got.questions[0].blocks_scripts
    back = ", l takes Mon 3 Feb 2025" if other else ""
    assert got.questions[0].text == (
        f"{kept} is still to come: now is Fri 16 Jan 2026 21:41. Enter keeps it with that date{back}."
    )
    meant = answered(got, "enter").entry
    assert f"{meant.at:%a} {meant.at.day} {meant.at:%b %Y %H:%M}" == kept and meant.flags == {Flag.ODD_VALUE}
    assert meant.matter == Upkeep(task="flue")
    if other is not None:
        back = answered(got, "l").entry
        assert f"{back.at:%Y-%m-%dT%H:%M}" == other and back.flags == frozenset()


def test_a_date_that_belongs_to_the_thing_is_not_the_lines(known: Setting) -> None:
    for line in ("replaced co alarm until 3 may 2033", "stack oak 1 cord split 3 may 2025"):
        got = read_line(line, now=NOW, setting=known)
        assert got.questions == () and got.entry.at == NOW and got.at_typed == ""


# Doubts and refusals


ASKS = [  # line, kind, what Enter keeps, what the other key keeps (None: a note)
    ("emptied ash", "ash", Ash(act=OUT), ("t", Ash(act=TIPPED))),
    ("stack oak 1,200 kg", "thousands", Stack(name="oak", species="oak", mass_kg=1200.0, as_said="1,200 kg"),
     ("d", Stack(name="oak", species="oak", mass_kg=1.2, as_said="1,200 kg"))),
    ("stack birch", "amount", Stack(name="birch", species="birch"), ("n", None)),
    ("stack oak at the wall", "amount", Stack(name="oak", species="oak", where="the wall"), ("n", None)),
    ("meter birch 90 %", "moisture",
     StackMoisture(name="birch", readings_pct=(90.0,), basis=Basis.DRY), ("n", None)),
    ("replaced co alarm until 9999", "until", Upkeep(task="co alarm", finding="until 9999"), None),
    ("replaced co alarm until 3 may 2013", "until", Upkeep(task="co alarm", until=date(2013, 5, 3)), None),
    ("stack oak 1 stere split may 2027", "split",
     Stack(name="oak", species="oak", volume_m3=1.0, as_said="1 stere", split_on=date(2027, 5, 1)), None),
    ("people 0", "people", StaySaid(count=0), ("n", None)),
    ("people 300", "people", StaySaid(count=300), ("n", None)),
]  # fmt: skip


@pytest.mark.parametrize(("line", "kind", "enter", "other"), ASKS)
def test_what_is_doubtful_is_asked_and_kept_if_meant(line, kind, enter, other, known):
    got = read_line(line, now=NOW, setting=known)
    assert [(q.kind, q.blocks_scripts) for q in got.questions] == [(kind, True)]
    near(answered(got, "enter").entry.matter, enter)
    if other is not None:
        key, matter = other
        entry = answered(got, key).entry
        if matter is None:
            assert entry.matter is None and line in entry.note
        else:
            near(entry.matter, matter)


def test_a_moisture_that_no_wood_has_is_kept_as_a_note_when_the_owner_insists(known: Setting) -> None:
    got = read_line("yesterday 10:00 meter birch 250 %, note new meter", now=NOW, setting=known)
    assert [q.kind for q in got.questions] == ["moisture"]
    assert got.questions[0].text.startswith(
        "250 % can't be wood (at most 67 % of the wet wood or 200 % of the dry)"
    )
    kept = answered(got, "enter").entry
    assert (kept.matter, kept.note, kept.flags) == (
        None,
        "meter birch 250 %; new meter",
        {Flag.ODD_VALUE},
    )
    assert kept.at == datetime(2026, 1, 15, 10, 0, tzinfo=UTC)
    assert (kept.moisture_pct, kept.indoor_c) == (None, None)


NEW_TASKS = [
    ("did north gate hinges", Upkeep(task="north gate hinges")),
    ("looked at the stars", Upkeep(task="stars", only_looked=True)),
    ("every 90 days generator", UpkeepRule(task="generator", every_days=90.0)),
]


@pytest.mark.parametrize(("line", "tells"), NEW_TASKS)
def test_a_task_not_known_is_the_owners_own_and_said_to_be(line: str, tells: Matter, known: Setting) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert [(q.kind, q.blocks_scripts) for q in got.questions] == [("task", False)]
    assert "is a new task of upkeep" in got.questions[0].text
    assert answered(got, "enter").entry.matter == tells
    assert answered(got, "n").entry.note == line


def test_a_list_not_known_is_said(known: Setting) -> None:
    got = read_line("done sauna: bench scrubbed", now=NOW, setting=known)
    assert [(q.kind, q.blocks_scripts) for q in got.questions] == [("list", False)]
    assert answered(got, "enter").entry.matter == Tick(list_name="sauna", line="bench scrubbed")
    assert answered(got, "n").entry.note == "done sauna: bench scrubbed"


REFUSED = [  # line, part of what is wrong, part of what to do
    ("stack oak 2 racks", "a row means nothing without the length of its pieces", "rack 40 cm"),
    ("stack oak row", "a row means nothing without the length", "2 m x 1.2 m x 40 cm"),
    ("stack oak rack 3 m", "Pieces of 3 m can't be kept: it goes from 0.1 to 2 m", "again"),
    ("stack oak rack 79 in", "Pieces of 2.007 m can't be kept", "again"),  # 79 × 25.4 mm
    ("stack oak 2 fm", "solid wood", "about 1.4 times as many stere"),
    ("stack oak -2 stere", "−2 is less than nothing", "0 when it is gone"),
    ("stack oak 2 x 1.2 x 0.4", "in metres or in feet?", "2 m x 1.2 m x 40 cm"),
    ("stack oak 2 tons", "907 kg in one land and 1000 kg in another", "kg or lb"),
    ("stack oak 2 crates", '"crate" has no weight yet', "1 crate = 19 kg"),
    ("stack oak 2 yards", '"yards" is no measure of wood known here', "0.9 stere"),
    ("stack oak 900 stere", "A stack of 900 m³ can't be kept", "again"),
    ("stack oak 1 cord split 32 may 2025", "32 may 2025 is no date", "may 2033"),
    ("count birch", "How much is left of it?", "count birch 0.4 stere"),
    ("meter birch", "What did the meter say for birch?", "meter birch 17 19 21%"),
    ("meter birch -4 %", "A moisture of −4 % can't be", "as the meter shows it"),
    ("level water -3 L", "−3 L is less than nothing", "again"),
    ("level gas 101 %", "101 % is more than full", "0 to 100 %"),
    ("people -2", "−2 people can't be", "people 3"),
    ("people 2.5", "2.5 people can't be", "people 3"),
    ("cost skirting -240", "A cost of −240 can't be", "0 for nothing"),
    ("swept flue -2 mm", "−2 mm of soot can't be", "0 for none"),
    ("swept flue 300 mm", "A deposit of 300 mm can't be kept", "again"),
    ("every 0 days flue", "Every 0 days can't be", "never flue"),
    ("replaced co alarm until 5/3/2033", "5/3/2033 is read one way here and another there", "3 may 2033"),
    ("weather sat -8", "has a low and a high", "weather sat -8 -2"),
    ("weather sat -80 -2", "−80 °C is outside what is kept", "sign and the unit"),
]


@pytest.mark.parametrize(("line", "wrong", "instead"), REFUSED)
def test_what_cannot_be_is_refused_with_what_to_type(
    line: str, wrong: str, instead: str, known: Setting
) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert got.problem is not None, got
    assert wrong in got.problem.wrong
    assert instead in got.problem.instead
    assert 0 <= got.problem.start < got.problem.end <= len(line)


def test_words_left_over_are_the_note(known: Setting) -> None:
    rows = [
        ("level water 14 L in the tank", "in the tank"),
        ("level diesel 14 L in the can", "in the can"),
        ("level water 14 in the tank", "in the tank"),
        ("level gas half of the tank, pump slow", "pump slow"),
        ("level diesel 40% or so", "or so"),
        ("brought 20 L of water, in two trips", "in two trips"),
        ("bring mouse traps 2, the big ones", "the big ones"),
        ("bring rope, a thick one", "a thick one"),
        ("bring a broom, a stiff one", "a stiff one"),
        ("bring lamp oil, for the lamps", "for the lamps"),
        ("bring 2 x 4 boards, J asked", "J asked"),
        ("got mouse traps, two broke", "two broke"),
        ("level water 14 L, note pump squeaks", "pump squeaks"),
        ("swept flue 2 mm note cap rusty", "cap rusty"),
        ("stack oak 1 cord, from the storm", "from the storm"),
        ("people 3, one of them small", "one of them small"),
        ("people K J, and the dog", "and the dog"),
        ("people K J, 3 of them small", "3 of them small"),
        ("people K, we ate late", "we ate late"),
        ("droppings under the bunk, 3 of them", "3 of them"),
        ("weather sat -8 -2, they say", "they say"),
        ("weather sat -8 -2 20 cm of snow", "20 cm of snow"),
        ("count birch 0.4 stere, mice in it", "mice in it"),
        ("never gutters, there are none", "there are none"),
    ]
    for line, note in rows:
        got = read_line(line, now=NOW, setting=known)
        assert got.problem is None
        assert got.entry.matter is not None and got.entry.note == note, line


def test_an_american_owners_units_hold(known: Setting) -> None:
    american = replace(known, units=OwnUnits(temperature="F", mass="lb"))
    got = read_line("weather sat 14 28", now=NOW, setting=american).entry.matter
    assert (got.low_c, got.high_c) == pytest.approx((-10.0, -2.2222), abs=1e-3)  # (°F − 32) / 1.8
    got = read_line("stack oak 1000 lb", now=NOW, setting=american).entry.matter
    assert got.mass_kg == pytest.approx(453.59237)  # NIST SP 811


def test_names_are_the_logs_whatever_the_case(known: Setting) -> None:
    for line, name in (("count BIRCH 1 stere", "birch"), ("meter Birch North Wall 17", "birch north wall")):
        assert read_line(line, now=NOW, setting=known).entry.matter.name == name
    assert read_line("level Lamp Oil 2 L", now=NOW, setting=known).entry.matter.item == "lamp oil"


def test_completion_offers_the_names_of_the_matter(known: Setting) -> None:
    assert complete("count bir", 9, known)[:2] == ["birch", "birch north wall"]
    assert complete("looked at door r", 16, known)[0] == "rope"
    assert complete("did gut", 7, known)[0] == "gutters"
    assert complete("level wa", 8, known)[0] == "water"
    assert complete("got mo", 6, known)[0] == "mouse traps"
    assert complete("done lea", 8, known)[0] == "leaving"
    assert complete("guest book: we ate bir", 22, known) == [], "prose is left alone"
    assert "sweating" in complete("swe", 3, known) and "swept" in complete("swe", 3, known)


def test_first_words_are_those_of_the_readers() -> None:
    """The light table and the readers can't drift apart."""
    assert frozenset(HEADS) == FIRST_WORDS
    assert may_tell_matter("Fri 16 Jan 2026 23:00, night of Fri 16: ash out") and not may_tell_matter(
        "4m 1/4 -9"
    )


@pytest.mark.parametrize(
    ("line", "hours", "where", "note"),
    [
        ("stack oak 1 stere 3 h cost 50", 3.0, "", None),
        ("stack oak 1 stere 2 h in shed", 2.0, "shed", None),
        ("stack oak 1 stere at", None, "", "at"),
        ("stack oak 1 stere damp cost 50 muddy", None, "", "damp; muddy"),
    ],
)
def test_what_follows_a_stacks_amount_is_kept_in_its_place_or_in_the_note(line, hours, where, note, known):
    got = read_line(line, now=NOW, setting=known).entry
    assert (got.matter.hours, got.matter.where, got.note) == (hours, where, note)


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ("stack oak 2 festmeter", "2 festmeter is solid wood, without the air in a stack."),
        ("stack oak 1 ton", "A ton has 907 kg in one land and 1000 kg in another."),
        ("stack oak 2 tons", "A ton has 907 kg in one land and 1000 kg in another."),
        ("stack birch 1 armadillo", '"armadillo" is no measure of wood known here.'),
    ],
)
def test_an_amount_that_could_be_two_is_refused_rather_than_taken_for_one(line, wrong, known):
    assert read_line(line, now=NOW, setting=known).problem.wrong == wrong


def test_what_cannot_be_does_not_hide_the_matter_after_it(known: Setting) -> None:
    line = "18.5; level water 120 %; ash out; air shut"
    read, rest = read_beside(line, now=NOW, setting=known)
    assert read.matter == Ash(act=OUT)
    assert rest == "18.5; level water 120 %;" + " " * len(" ash out") + "; air shut", (
        "places stay what they are"
    )


def test_a_matter_of_another_time_beside_the_night_stays_in_the_note(known: Setting) -> None:
    got = read_line("18.5; ash out yesterday 18:00", now=NOW, setting=known).entry
    assert got is None or got.matter is None
