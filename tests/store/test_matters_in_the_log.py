"""Matters in the log: kept whole, read back whole, and out of the way of what is about the night."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from logbook import matters as m
from logbook.actions.reckoning import fingerprint, known
from logbook.description import parse_description
from logbook.errors import BadInputError
from logbook.heat.notebook import stays
from logbook.records import Basis, Entry, NewEvent
from logbook.setting import Setting
from logbook.store.importing import import_table
from logbook.store.log import Log, open_log
from logbook.store.matters_text import matter_from, matter_text
from logbook.store.tables_out import table_of

AT = datetime(2026, 1, 16, 18, tzinfo=UTC)
TOML = "[cabin]\nfloor_m2 = 28\nvolume_m3 = 75\n[stove]\nmax_load_kg = 8\n[site]\ntimezone = 'UTC'\n"

EVERY_KIND: tuple[m.Matter, ...] = (
    m.Ash(act=m.AshAct.TAKEN_OUT, where="bucket by the shed"),
    m.Upkeep(task="flue", finding="dry, flaky", deposit_mm=2.5, photos=("flue, top.jpg", "cap.jpg"), by="J"),
    m.Upkeep(task="co alarm", until=date(2033, 5, 1), only_looked=True),
    m.UpkeepRule(task="flue", every_days=365.0, every_kg=1000.0, source="manual p. 14"),
    m.Stack(name="birch", species="birch", volume_m3=0.9, as_said="0.9 stere", split_on=date(2025, 5, 1)),
    m.StackCount(name="birch", volume_m3=0.4, as_said="0.4 stere"),
    m.StackMoisture(name="birch", readings_pct=(17.0, 19.5, 21.0), basis=Basis.DRY, fresh_face=True),
    m.Level(item="water", amount=14.0, unit="L"),
    m.Brought(item="lamp oil", amount=0.5, unit="L"),
    m.Bring(item="mouse traps", amount=2.0),
    m.Bring(item="mouse traps", got=True),
    m.Tick(list_name="leaving", line="water drained"),
    m.Tick(list_name="leaving", line="roof vent", done=False),
    m.StaySaid(people=("K", "J"), purpose="roof", guest_book="Snow to the sills. “Quiet.”"),
    m.Improvement(name="skirting", money=240.0, hours=31.0, surface="floor"),
    m.Seen(sight=m.Sight.DROPPINGS, place="behind the stove"),
    m.DayWeather(day=date(2026, 1, 17), low_c=-9.0, high_c=-2.0, wind="strong", sky=m.Sky.SNOW),
)


@pytest.fixture
def log(tmp_path: Path) -> Log:
    return open_log(tmp_path / "log.db", now=lambda: AT)


def test_every_kind_is_tried_and_named() -> None:
    assert {type(matter) for matter in EVERY_KIND} == set(m.KINDS.values())
    assert set(m.NAME_OF.values()) == set(m.KINDS)


@pytest.mark.parametrize("matter", EVERY_KIND, ids=lambda matter: type(matter).__name__)
def test_a_matter_comes_back_as_it_was(log: Log, matter: m.Matter) -> None:
    log.add([NewEvent(entry=Entry(at=AT, matter=matter, note="a note beside"))])
    (entry,) = log.entries()
    assert entry.matter == matter
    assert entry.note == "a note beside"
    assert log.matters() == (entry,)


@pytest.mark.parametrize("matter", EVERY_KIND, ids=lambda matter: type(matter).__name__)
def test_a_matter_goes_out_and_in_again_as_a_table(log: Log, matter: m.Matter) -> None:
    entry = Entry(at=AT, matter=matter)
    table = table_of([entry], zone="UTC").encode()
    import_table(log, table, setting=Setting(), now=AT)
    assert log.entries() == (entry,)


def test_what_is_empty_takes_no_room() -> None:
    assert matter_text(m.Level(item="water", amount=14.0, unit="L")) == (
        '{"kind": "level", "item": "water", "amount": 14.0, "unit": "L"}'
    )


def test_nothing_left_of_a_supply_is_not_empty() -> None:
    """Zero litres is the most important level there is."""
    assert matter_from(matter_text(m.Level(item="water", amount=0.0))) == m.Level(item="water", amount=0.0)


@pytest.mark.parametrize(
    "text",
    [
        "not json",
        "[]",
        "{}",
        '{"kind": "weapon"}',
        '{"kind": "level", "item": "water"}',
        '{"kind": "level", "item": "water", "amount": "much"}',
        '{"kind": "ash", "act": "eaten"}',
    ],
)
def test_what_cannot_be_a_matter_is_refused_in_words(text: str) -> None:
    with pytest.raises(BadInputError, match="can't be read") as refused:
        matter_from(text)
    assert "\n" in str(refused.value)


@pytest.mark.parametrize("amount", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused_and_nothing_kept(log: Log, amount: float) -> None:
    """msgspec would write null, and a level of nothing would come back."""
    with pytest.raises(BadInputError, match="not a number"):
        log.add([NewEvent(entry=Entry(at=AT, matter=m.Level(item="water", amount=amount)))])
    assert log.entries() == ()


def test_matters_come_by_their_time_and_none_of_the_night_among_them(log: Log) -> None:
    later = Entry(at=AT + timedelta(hours=2), matter=m.Ash(act=m.AshAct.TIPPED))
    sooner = Entry(at=AT, matter=m.Ash(act=m.AshAct.TAKEN_OUT))
    log.add([NewEvent(entry=e) for e in (later, Entry(at=AT, indoor_c=18.0), sooner)])
    assert log.matters() == (sooner, later)
    assert log.matters(AT + timedelta(hours=1)) == (sooner,)


def test_a_matter_typed_at_home_opens_no_stay_and_a_reading_does() -> None:
    packed = Entry(at=AT, matter=m.Tick(list_name="packing", line="lamp oil"), note="the blue can")
    assert stays([packed]) == ()
    both = Entry(at=AT, matter=m.Ash(act=m.AshAct.TAKEN_OUT), indoor_c=18.0)
    assert len(stays([both])) == 1


def test_what_was_learned_is_not_thrown_away_for_a_ticked_line(log: Log) -> None:
    log.add_description(parse_description(TOML, machine_zone="UTC"), AT, source=TOML)
    log.add([NewEvent(entry=Entry(at=AT, indoor_c=18.0))])
    before = fingerprint(known(log, as_of=AT + timedelta(days=1)))
    log.add([NewEvent(entry=Entry(at=AT, matter=m.Tick(list_name="leaving", line="water drained")))])
    assert fingerprint(known(log, as_of=AT + timedelta(days=1))) == before


def test_matter_stands_before_flags_in_the_entry() -> None:
    """Likeness of imported rows leaves out the last column: that must stay the flags."""
    assert [f.name for f in fields(Entry)][-2:] == ["matter", "flags"]
