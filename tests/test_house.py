"""From the log to what the whole year is reckoned from: stays, nights, who was there, wood burned.

Every expected value is counted by hand from the lines above it.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.actions.house import STAY_OVER, house_of, stays_lived
from logbook.care.checklists import round_of
from logbook.description import parse_description
from logbook.house import Burned, House
from logbook.matters import Bring, StaySaid, Tick
from logbook.records import Coals, Entry, Flag, Mark, NewEvent
from logbook.results.lists import ListName
from logbook.store.log import Log, open_log

TOML = """
[site]
timezone = "Etc/GMT-1"
[cabin]
floor_m2 = 24
volume_m3 = 60
[stove]
max_load_kg = 8
[wood]
moisture_pct = 20
moisture_basis = "wet"
[comfort]
people = 3
"""


def at(text: str) -> datetime:
    """A moment by the cabin's clock, an hour ahead of UTC."""
    return datetime.fromisoformat(f"2026-{text}").replace(tzinfo=UTC) - timedelta(hours=1)


NOW = at("06-30T12:00")


@pytest.fixture
def log(tmp_path: Path) -> Log:
    return open_log(tmp_path / "log.db", now=lambda: NOW)


def house(log: Log, *entries: Entry, as_of: datetime = NOW, described: bool = False) -> House:
    if described:
        log.add_description(parse_description(TOML, machine_zone="UTC"))
    log.add([NewEvent(entry=entry) for entry in entries])
    return house_of(log, as_of=as_of)


def room(text: str, **fields: object) -> Entry:
    return Entry(at=at(text), indoor_c=15.0, coals=Coals.FEW, **fields)


WEEKEND = (
    Entry(at=at("01-16T17:00"), mark=Mark.ARRIVED, indoor_c=3.0),
    Entry(at=at("01-16T18:00"), load_kg=4.0),
    room("01-17T09:00"),
    Entry(at=at("01-17T20:00"), load_kg=6.0),
    Entry(at=at("01-18T11:00"), mark=Mark.LEFT, indoor_c=14.0),
)


# From when to when


def test_an_empty_log_has_no_stays(log):
    empty = house(log)
    assert (empty.stays, empty.burned, empty.stay, empty.last_left) == ((), (), None, None)


def test_a_weekend_is_one_stay_with_its_wood(log):
    found = house(log, *WEEKEND)
    (stay,) = found.stays
    assert (stay.start, stay.end) == (at("01-16T17:00"), at("01-18T11:00"))
    assert stay.wood_kg == 10.0
    assert stay.days == pytest.approx(42 / 24)
    assert not stay.going_on
    assert found.last_left == stay.end


def test_both_nights_count_though_they_left_before_noon(log):
    (stay,) = house(log, *WEEKEND).stays
    assert stay.nights == (date(2026, 1, 16), date(2026, 1, 17))


def test_a_day_trip_has_no_night(log):
    (stay,) = house(log, room("01-17T09:00", mark=Mark.ARRIVED), room("01-17T19:00", mark=Mark.LEFT)).stays
    assert stay.nights == ()


def test_going_to_bed_as_the_last_word_is_a_night_all_the_same(log):
    (stay,) = house(log, room("01-17T15:00"), room("01-17T22:30", mark=Mark.BED)).stays
    assert stay.nights == (date(2026, 1, 17),)


def test_a_stay_over_two_weeks_stays_one(log):
    """The heat model cuts it into pieces of 14 days; its owner left only once."""
    days = [room(f"02-{day:02d}T20:00") for day in range(1, 21)]
    mornings = [room(f"02-{day:02d}T08:00") for day in range(2, 21)]
    (stay,) = house(log, *days, *mornings).stays
    assert (stay.start, stay.end) == (at("02-01T20:00"), at("02-20T20:00"))
    assert len(stay.nights) == 19


def test_leaving_after_two_weeks_is_believed(log):
    """A stay that ends with leaving and one that begins the same evening are two."""
    days = [room(f"02-{day:02d}T{h}:00") for day in range(1, 15) for h in ("08", "20")]
    again = [room("02-15T08:00", mark=Mark.LEFT), room("02-15T20:00", mark=Mark.ARRIVED), room("02-16T09:00")]
    first, second = house(log, *days, *again).stays
    assert first.end == at("02-15T08:00")
    assert second.start == at("02-15T20:00")


@pytest.mark.parametrize(
    ("goes", "comes"), [(Mark.LEFT, None), (None, Mark.ARRIVED)], ids=["only left", "only arrived"]
)
def test_either_mark_alone_parts_two_stays(log, goes, comes):
    """Left at noon and back at eight without a word, or back with one and gone without."""
    lines = (room("03-01T08:00"), room("03-01T12:00", mark=goes), room("03-01T20:00", mark=comes))
    assert [stay.start for stay in house(log, *lines).stays] == [at("03-01T08:00"), at("03-01T20:00")]


def test_silence_of_18_hours_parts_two_stays(log):
    """18 h is the contract's figure; a minute less is one stay."""
    one = house(log, room("03-01T02:00"), room("03-01T20:00"))
    assert len(one.stays) == 1
    two = house(log, room("03-02T14:01"))
    assert len(two.stays) == 2


def test_asleep_the_silence_may_be_twice_as_long(log):
    assert len(house(log, room("03-01T22:00", mark=Mark.BED), room("03-02T18:00")).stays) == 1


@pytest.mark.parametrize(("hours", "going_on"), [(23.9, True), (24.1, False)])
def test_a_silent_stay_is_over_after_a_day(log, hours, going_on):
    assert timedelta(hours=24) == STAY_OVER
    last = room("03-01T20:00")
    found = house(log, room("03-01T15:00"), last, as_of=last.at + timedelta(hours=hours))
    assert (found.stay is not None) is going_on


def test_a_stay_that_was_left_is_over_at_once(log):
    found = house(log, *WEEKEND, as_of=at("01-18T11:05"))
    assert found.stay is None
    assert found.last_left == at("01-18T11:00")


def test_a_stay_in_which_only_upkeep_was_written_ends_when_it_is_left(log):
    """Friday's arrival, Saturday's wood and a bare "left" on Sunday are one stay of two nights."""
    came = Entry(at=at("05-08T18:00"), mark=Mark.ARRIVED, indoor_c=13.0)
    wood = Entry(at=at("05-09T14:00"), matter=Bring(item="gravel"))
    went = Entry(at=at("05-10T15:00"), mark=Mark.LEFT)
    (stay,) = house(log, came, wood, went).stays
    assert (stay.start, stay.end, len(stay.nights)) == (came.at, went.at, 2)


@pytest.mark.parametrize("gap_days", [15, 200])
def test_a_bare_left_long_after_ends_no_other_stay(log, gap_days):
    came = Entry(at=at("01-08T18:00"), mark=Mark.ARRIVED, indoor_c=13.0)
    went = Entry(at=came.at + timedelta(days=gap_days), mark=Mark.LEFT)
    assert len(house(log, came, went, as_of=went.at).stays) == 2


def test_later_lines_do_not_exist(log):
    found = house(log, *WEEKEND, as_of=at("01-17T12:00"))
    assert found.stay is not None
    assert found.stay.wood_kg == 4.0
    assert found.stay.end == at("01-17T09:00")


# What opens none


def test_a_matter_written_at_home_opens_no_stay(log):
    assert house(log, Entry(at=at("01-10T20:00"), matter=Bring(item="traps"))).stays == ()


def test_a_change_dated_at_home_opens_no_stay(log):
    dated = Entry(at=at("01-10T00:00"), change="skirting", note="up for the day")
    assert len(house(log, dated, *WEEKEND).stays) == 1


def test_a_change_just_before_an_arrival_does_not_begin_the_stay(log):
    dated = Entry(at=at("01-16T12:00"), change="new panes")
    (stay,) = house(log, dated, *WEEKEND).stays
    assert stay.start == at("01-16T17:00")


def test_a_note_on_the_way_is_no_stay_of_its_own(log):
    note = Entry(at=at("01-16T16:45"), note="snow on the last mile")
    (stay,) = house(log, note, *WEEKEND).stays
    assert stay.start == at("01-16T17:00")


def test_a_note_on_getting_home_is_no_stay_and_what_was_skipped_on_leaving_comes_back(log):
    """One word typed at home that evening, and the water not drained was forgotten at the next arrival."""
    skip = Entry(at=at("01-18T10:50"), matter=Tick(list_name="leaving", line="water drained", done=False))
    notes = [Entry(at=at(f"01-{when}"), note="gas is nearly empty") for when in ("18T20:00", "20T20:00")]
    home = house(log, skip, *WEEKEND, *notes, as_of=at("01-30T16:00"))
    assert [stay.end for stay in home.stays] == [at("01-18T11:00")]
    lines = round_of(ListName.ARRIVING, home).lines
    assert "water drained" in [line.name for line in lines]


def test_left_written_twice_is_one_leaving(log):
    """As on two computers merged: the second was a stay of its own, and what was skipped was forgotten."""
    skip = Entry(at=at("01-18T11:20"), matter=Tick(list_name="leaving", line="water drained", done=False))
    again = Entry(at=at("01-18T11:21"), mark=Mark.LEFT, indoor_c=14.0)
    home = house(log, *WEEKEND, skip, again, as_of=at("01-30T16:00"))
    assert [(stay.start, stay.end) for stay in home.stays] == [(at("01-16T17:00"), again.at)]
    assert "water drained" in [line.name for line in round_of(ListName.ARRIVING, home).lines]


def test_arrived_written_twice_is_one_arriving(log):
    again = Entry(at=at("01-16T17:40"), mark=Mark.ARRIVED, indoor_c=4.0)
    (stay,) = house(log, again, *WEEKEND).stays
    assert (stay.start, stay.end) == (at("01-16T17:00"), at("01-18T11:00"))
    assert stay.wood_kg == 10.0


def test_back_the_next_day_words_with_a_reading_are_a_stay(log):
    note = Entry(at=at("01-19T17:00"), note="forgot the keys")
    again = Entry(at=at("01-19T17:10"), indoor_c=8.0)
    assert [stay.start for stay in house(log, *WEEKEND, note, again).stays][1:] == [at("01-19T17:00")]
    assert len(house(log, Entry(at=at("01-22T17:00"), note="painted the door")).stays) == 3, "four days on"


def test_a_guest_line_of_the_minute_a_stay_began_is_in_that_one_alone(log):
    second = (room("01-19T20:00"), room("01-20T10:00", mark=Mark.LEFT))
    first, later = house(log, *WEEKEND, *second, said("01-19T20:00", guest_book="Again.")).stays
    assert (first.guest_book, later.guest_book) == ((), ("Again.",))


def test_a_note_by_itself_is_a_visit(log):
    """The contract: a stay begins with the first entry by a person."""
    assert len(house(log, Entry(at=at("05-02T14:00"), note="painted the door")).stays) == 1


def test_a_logging_thermometer_alone_opens_none(log):
    rows = [
        Entry(at=at("03-01T00:00") + timedelta(hours=h), indoor_c=1.0, flags=frozenset({Flag.LOGGER}))
        for h in range(48)
    ]
    assert house(log, *rows).stays == ()


# Who was there


def said(text: str, **words: object) -> Entry:
    return Entry(at=at(text), matter=StaySaid(**words))


def test_people_may_be_said_before_the_stay_or_after_it(log):
    before = said("01-15T20:00", people=("K", "J"))
    after = said("01-20T20:00", guest_book="Snow to the sills.")
    (stay,) = house(log, before, *WEEKEND, after).stays
    assert (stay.people, stay.head_count, stay.head_count_said) == (("K", "J"), 2.0, True)
    assert stay.guest_book == ("Snow to the sills.",)


def test_too_long_before_or_after_belongs_to_no_stay(log):
    (stay,) = house(
        log, said("01-14T16:00", purpose="roof"), *WEEKEND, said("01-21T12:00", purpose="stove")
    ).stays
    assert stay.purpose == ""


def test_what_is_said_between_two_stays_is_not_heard_twice_by_the_first(log):
    """Said after the second stay began, it belongs to the second."""
    second = (room("01-19T20:00", mark=Mark.ARRIVED), room("01-20T10:00", mark=Mark.LEFT))
    first, later = house(log, *WEEKEND, *second, said("01-20T09:00", people=("M",))).stays
    assert first.people == ()
    assert later.people == ("M",)


def test_the_last_word_on_people_counts_and_guest_lines_all_stay(log):
    (stay,) = house(
        log,
        *WEEKEND,
        said("01-16T17:05", people=("K",), guest_book="Cold."),
        said("01-17T12:00", count=4, purpose="roof", guest_book="Warm."),
    ).stays
    assert (stay.head_count, stay.purpose, stay.guest_book) == (4.0, "roof", ("Cold.", "Warm."))
    assert stay.person_days == pytest.approx(4 * 42 / 24)


def test_with_nobody_named_the_description_says_how_many(log):
    (stay,) = house(log, *WEEKEND, described=True).stays
    assert (stay.head_count, stay.head_count_said) == (3.0, False)


# Wood


def test_dry_wood_follows_from_the_moisture_that_held(log):
    found = house(log, *WEEKEND, Entry(at=at("01-17T21:00"), load_kg=2.0, moisture_pct=10.0), described=True)
    assert [load.kg_dry for load in found.burned] == pytest.approx([4.0 * 0.8, 6.0 * 0.8, 2.0 * 0.9])


def test_matters_are_told_in_order_with_their_notes(log):
    found = house(
        log,
        Entry(at=at("02-02T10:00"), matter=Bring(item="oil"), note="half a can left"),
        Entry(at=at("02-01T10:00"), matter=Bring(item="traps")),
    )
    assert [told.note for told in found.told] == ["", "half a can left"]
    assert [bring.item for _, bring in found.of(Bring)] == ["traps", "oil"]


@given(
    st.lists(st.integers(0, 40 * 24), max_size=40),
    st.lists(st.tuples(st.integers(0, 40 * 24), st.integers(1, 60)), min_size=1, max_size=6),
    st.randoms(use_true_random=False),
)
def test_each_load_is_of_the_stays_it_lies_in_however_they_are_ordered(hours, spans, random):
    """Loads found by halving the list are those found by looking at each, the ends of a stay among them."""
    first, hour = at("01-01T00:00"), timedelta(hours=1)
    loads = [Burned(at=first + h * hour, kg=2.0, kg_dry=1.6, species="birch") for h in hours]
    entries = [Entry(at=load.at, load_kg=load.kg) for load in loads]
    for begins, lasts in spans:
        entries.append(Entry(at=first + begins * hour, mark=Mark.ARRIVED))
        entries.append(Entry(at=first + (begins + lasts) * hour, mark=Mark.LEFT))
    entries.sort(key=lambda e: e.at)
    random.shuffle(loads)
    lived = stays_lived(entries, loads, description=None, zone="UTC", as_of=NOW)
    for stay in lived:
        inside = [load.at for load in loads if stay.start <= load.at <= stay.end]
        assert [load.at for load in stay.burned] == sorted(inside)
