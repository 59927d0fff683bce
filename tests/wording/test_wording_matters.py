"""Matters said back: in the owner's units, the ash's caution in its row, and so as to be typed again."""

from __future__ import annotations

import typing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.entry import read_line
from logbook.matters import (
    KINDS,
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
from logbook.records import Basis, Entry, OwnUnits, Wind
from logbook.results.upkeep_words import TASK_WORDS
from logbook.setting import Setting
from logbook.wording import said, sentence
from logbook.wording.matters import _WORDS, matter_text

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)
HERE = Setting(
    zone="Europe/London",
    tasks=TASK_WORDS,
    stacks=("birch", "oak north wall"),
    to_bring=("mouse traps", "lamp oil"),
    lists=("guests",),
)
TASKS = [name for name, _ in TASK_WORDS]

SAYS: list[tuple[Matter, str]] = [
    (
        Ash(act=AshAct.TAKEN_OUT, where="bucket by the shed"),
        # 96 h after Fri 16 Jan 21:41, as fire districts say
        "ash out, bucket by the shed: not before Tue 20 Jan 21:41 at the earliest "
        "(96 h, common practice as fire districts say)",
    ),
    (Ash(act=AshAct.TIPPED), "ash tipped"),
    (
        Upkeep(task="flue", deposit_mm=2.5, by="J", finding="glazed", photos=("a.jpg", "b.jpg")),
        "swept flue, 2.5 mm, by J, glazed, photo a.jpg b.jpg",
    ),
    (Upkeep(task="door rope", only_looked=True), "looked at door rope"),
    (Upkeep(task="co alarm", until=date(2033, 5, 1)), "replaced co alarm, until 1 May 2033"),
    (Upkeep(task="gutters"), "did gutters"),
    (
        UpkeepRule(
            task="flue", every_days=365.0, every_kg=500.0, every_burn_days=40.0, source="manual p. 14"
        ),
        "every 365 days or 500 kg or 40 burn days flue, says manual p. 14",
    ),
    (UpkeepRule(task="gutters"), "never gutters"),
    (UpkeepRule(task="roof", every_days=3 * 365 / 12), "every 3 months roof"),
    (UpkeepRule(task="roof", every_days=365 / 12), "every 1 month roof"),
    (UpkeepRule(task="roof", every_days=10.5), "every 10.5 days roof"),
    (UpkeepRule(task="roof", every_days=1.0), "every 1 day roof"),
    (
        Stack(
            name="birch", volume_m3=0.9, as_said="0,9 rm", split_on=date(2025, 5, 1), where="north wall",
            money=80.0, hours=4.5, loose=True,
        ),
        "stack birch 0,9 rm loose, split 1 May 2025, at north wall, cost 80, 4.5 h",
    ),
    (Stack(name="birch", mass_kg=500.0, where="under the eaves"), "stack birch 500 kg, under the eaves"),
    (StackCount(name="birch", volume_m3=0.4), "count birch 0.4 stere"),
    (
        StackMoisture(name="birch", readings_pct=(17.0, 19.5), basis=Basis.DRY, fresh_face=True),
        "meter birch 17 19.5 % dry fresh",
    ),
    (Level(item="gas", amount=40.0, unit="%"), "level gas 40 %"),
    (Brought(item="water", amount=20.0, unit="L"), "brought water 20 L"),
    (Bring(item="mouse traps", amount=2.0), "bring mouse traps 2"),
    (Bring(item="mouse traps", got=True), "got mouse traps"),
    (Tick(list_name="leaving", line="roof vent", done=False), "skip leaving: roof vent"),
    (
        StaySaid(people=("K", "J"), purpose="roof work", guest_book="Snow."),
        "people: K, J; purpose roof work; guest book: Snow.",
    ),
    (StaySaid(count=3), "people 3"),
    (
        Improvement(name="skirting", money=240.0, hours=31.0, surface="floor", what="straw"),
        "cost skirting 240, 31 h on floor, straw",
    ),
    (Seen(sight=Sight.DROPPINGS, place="drawer"), "droppings, drawer"),
    (Seen(sight=Sight.GONE, place="traps"), "traps gone"),
    (
        DayWeather(day=date(2026, 1, 17), low_c=-8.0, high_c=-2.0, wind="strong", sky=Sky.CLEAR),
        "weather Sat 17 Jan 2026 low −8 °C, high −2 °C, wind strong, clear",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("matter", "text"), SAYS)
def test_what_is_said_of_a_matter(matter: Matter, text: str) -> None:
    assert matter_text(matter, HERE, at=NOW) == text
    assert said(Entry(at=NOW, matter=matter, note="cold hands"), HERE) == f"{text}, note cold hands"


@pytest.mark.parametrize(
    ("out", "ready"),
    [
        (datetime(2025, 12, 30, 12, tzinfo=UTC), "Sat 3 Jan 2026 12:00"),
        (datetime(2026, 1, 3, 12, tzinfo=UTC), "Wed 7 Jan 12:00"),
    ],
)
def test_ash_that_waits_into_another_year_says_which(out: datetime, ready: str) -> None:
    """96 h from the 30th of December end in January; within a year the day is enough."""
    said = matter_text(Ash(act=AshAct.TAKEN_OUT), Setting(zone="UTC"), at=out)
    assert f"not before {ready} at" in said


def test_every_kind_has_words_and_stands_above() -> None:
    """A new kind of matter can't be kept unsaid."""
    assert set(_WORDS) == {kind.__name__ for kind in KINDS.values()}
    assert {type(matter) for matter, _ in SAYS} == set(typing.get_args(Matter))


def test_an_americans_wood_and_weather_are_in_their_units() -> None:
    american = replace(HERE, units=OwnUnits(temperature="F", mass="lb"))
    # 453.59237 kg = 1000 lb (NIST SP 811); −10 °C = 14 °F
    assert matter_text(Stack(name="oak", mass_kg=453.59237), american, at=NOW) == "stack oak 1000 lb"
    day = DayWeather(day=date(2026, 1, 17), low_c=-10.0, high_c=0.0)
    assert matter_text(day, american, at=NOW) == "weather Sat 17 Jan 2026 low 14 °F, high 32 °F"


def test_the_ashs_caution_is_on_the_sites_clock() -> None:
    """96 hours are hours, also over the night the clock goes forward (29 March 2026 in London)."""
    at = datetime(2026, 3, 27, 18, 0, tzinfo=UTC)
    assert "not before Tue 31 Mar 19:00" in matter_text(Ash(act=AshAct.TAKEN_OUT), HERE, at=at)


# What is said can be typed again


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(int(low * 10), int(high * 10)).map(lambda n: n / 10.0)


def maybe(values: st.SearchStrategy[typing.Any]) -> st.SearchStrategy[typing.Any]:
    return st.one_of(st.none(), values)


words = st.sampled_from(
    ["glazed near the top", "two buckets of leaves", "wicks short", "straw, then boards", ""]
)
places = st.sampled_from(["", "bucket by the shed", "kitchen drawer", "behind the bunk", "flashing"])
days = st.dates(date(2000, 1, 1), date(2025, 12, 31))
amounts = st.one_of(tenths(0, 500), st.integers(0, 400).map(lambda n: n / 1000.0))
units = st.sampled_from(["", "L", "kg", "lb", "gal", "bottles", "%"])

stacks = st.builds(
    Stack,
    name=st.sampled_from(["birch", "oak north wall", "red alder"]),
    volume_m3=tenths(0.1, 40),
    loose=st.booleans(),
    split_on=maybe(days),
    where=st.sampled_from(["", "north wall", "under the eaves", "by the door"]),
    money=maybe(tenths(0, 900)),
    hours=maybe(tenths(0, 90)),
)
upkeep = st.builds(
    Upkeep,
    task=st.sampled_from(TASKS),
    finding=words.map(lambda said: said.replace(", ", " ")),
    deposit_mm=maybe(tenths(0, 20)),
    by=st.sampled_from(["", "J", "Anna K", "sweep"]),
    photos=st.sampled_from([(), ("a.jpg",), ("a.jpg", "photos/b_c.jpg")]),
    only_looked=st.booleans(),
)
printed = st.builds(Upkeep, task=st.sampled_from(TASKS), until=st.dates(date(2026, 2, 1), date(2040, 1, 1)))
rules = st.builds(
    UpkeepRule,
    task=st.sampled_from(TASKS),
    every_days=maybe(st.integers(1, 4000).map(float)),
    every_kg=maybe(tenths(1, 5000)),
    every_burn_days=maybe(st.integers(1, 400).map(float)),
).map(lambda rule: replace(rule, source="manual p. 14") if rule.every_days else rule)
matters = st.one_of(
    st.builds(Ash, act=st.sampled_from(AshAct), where=places),
    upkeep,
    printed,
    rules,
    stacks,
    stacks.map(lambda s: replace(s, volume_m3=None, mass_kg=s.volume_m3)),
    st.builds(StackCount, name=st.sampled_from(["birch", "red alder"]), volume_m3=tenths(0, 40)),
    st.builds(
        StackMoisture,
        name=st.sampled_from(["birch", "oak north wall"]),
        readings_pct=st.lists(tenths(1, 60), min_size=1, max_size=5).map(tuple),
        basis=st.sampled_from(Basis),
        fresh_face=maybe(st.booleans()),
    ),
    st.builds(
        Level, item=st.sampled_from(["water", "AA batteries", "gas"]), amount=tenths(0, 100), unit=units
    ),
    st.builds(Brought, item=st.sampled_from(["water", "lamp oil"]), amount=amounts, unit=units),
    st.builds(Bring, item=st.sampled_from(["mouse traps", "new kettle"]), amount=maybe(amounts)),
    st.builds(Bring, item=st.sampled_from(["mouse traps", "lamp oil"]), got=st.just(True)),
    st.builds(
        Tick,
        list_name=st.sampled_from(["leaving", "autumn", "guests"]),
        line=st.sampled_from(["water drained", "roof vent: shut", "note for the sweep, Sunday 10:00"]),
        done=st.booleans(),
    ),
    st.builds(
        StaySaid,
        people=st.sampled_from([(), ("K",), ("K", "J"), ("Anna", "ben")]),
        purpose=st.sampled_from(["", "roof work", "ski, then rest"]),
        guest_book=st.sampled_from(["", "Snow to the sills.", "A note of thanks; we slept."]),
    ).filter(lambda stay: stay != StaySaid()),
    st.integers(1, 30).map(lambda n: StaySaid(count=n)),
    st.builds(
        Improvement,
        name=st.sampled_from(["skirting", "Storm panes"]),
        money=tenths(0, 9000),
        hours=maybe(tenths(0, 300)),
        surface=st.sampled_from(["", "floor", "north wall"]),
        what=words,
    ),
    st.builds(Seen, sight=st.sampled_from([s for s in Sight if s is not Sight.GONE]), place=places),
    st.sampled_from(["traps", "droppings drawer", "leak flashing"]).map(
        lambda place: Seen(sight=Sight.GONE, place=place)
    ),
    st.builds(
        DayWeather,
        day=days,
        low_c=tenths(-50, -10),
        high_c=tenths(-10, 40),
        wind=st.sampled_from(["", *(wind.value for wind in Wind)]),
        sky=maybe(st.sampled_from(Sky)),
        seen=st.booleans(),
    ),
)


@given(matters, st.integers(0, 100 * 24 * 60), st.sampled_from([None, "cold hands, again"]))
@settings(max_examples=500, deadline=None)
def test_what_is_said_can_be_typed_again(matter: Matter, minutes: int, note: str | None) -> None:
    whole = isinstance(matter, Tick) or (isinstance(matter, StaySaid) and matter.guest_book)
    entry = Entry(
        at=NOW.replace(second=0) - timedelta(minutes=minutes), matter=matter, note=None if whole else note
    )
    text = sentence(entry, HERE, now=NOW)
    again = read_line(text, now=NOW, setting=HERE)
    assert again.problem is None and again.entry is not None, (text, again.problem)
    assert again.questions == (), (text, again.questions)
    assert (again.entry.at, again.entry.note) == (entry.at, entry.note), text
    got = again.entry.matter
    assert type(got) is type(matter), text
    for name in type(matter).__dataclass_fields__:
        if name in {"as_said", "species"}:
            continue  # the sentence's own words, and the species its name holds
        want, mine = getattr(matter, name), getattr(got, name)
        close = (
            pytest.approx(want, abs=1e-6) if isinstance(want, float | tuple) and name != "photos" else want
        )
        assert mine == (want if name == "people" else close), (text, name)


def test_an_eighth_of_an_inch_is_no_finer_than_a_tenth_of_a_millimetre():
    """Typed "swept flue 1/8 in"; 25.4 mm an inch (NIST SP 811, from memory)."""
    said = matter_text(Upkeep(task="flue", deposit_mm=25.4 / 8), Setting(zone="UTC"), at=NOW)
    assert said == "swept flue, 3.2 mm"
    assert matter_text(Upkeep(task="flue", deposit_mm=2.0), Setting(zone="UTC"), at=NOW) == "swept flue, 2 mm"
