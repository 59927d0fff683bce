"""What goes into the log comes out again, in the order written, whatever is done to it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from log_lines import START, rooms, said

from logbook.description import description_to_toml
from logbook.errors import BadInputError, DescriptionError, LogbookError, LogFileError, NoDescriptionError
from logbook.matters import KINDS
from logbook.records import (
    Act,
    Basis,
    Cabin,
    Coals,
    Description,
    Entry,
    Flag,
    How,
    Mark,
    NewEvent,
    Stove,
    Typed,
    Wind,
    Window,
)
from logbook.store.log import Log, open_log

NUMBERS = st.none() | st.floats(-300, 3000, allow_nan=False)
WORDS = st.none() | st.text(max_size=30)
ZONES = st.sampled_from([UTC, timezone(timedelta(hours=-9, minutes=-30)), timezone(timedelta(hours=13))])
TIMES = st.datetimes(
    min_value=datetime(1970, 1, 2),  # noqa: DTZ001 - the zone is drawn
    max_value=datetime(2200, 1, 1),  # noqa: DTZ001
    timezones=ZONES,
)


def is_finite(matter: object) -> bool:
    """Numbers that are none are refused, and tried in a test of their own."""
    values = [getattr(matter, field.name) for field in fields(matter)]  # type: ignore[arg-type]
    flat = [v for value in values for v in (value if isinstance(value, tuple) else (value,))]
    return all(math.isfinite(value) for value in flat if isinstance(value, float))


FIELDS: dict[str, st.SearchStrategy[object]] = {
    "at": TIMES,
    "indoor_c": NUMBERS,
    "place": st.text(max_size=10),
    "outdoor_c": NUMBERS,
    "low_c": NUMBERS,
    "high_c": NUMBERS,
    "reset_at": st.none() | TIMES,
    "load_kg": NUMBERS,
    "pieces": WORDS,
    "species": WORDS,
    "moisture_pct": NUMBERS,
    "moisture_basis": st.none() | st.sampled_from(Basis),
    "kindling": st.booleans(),
    "air_open_pct": NUMBERS,
    "flue_damper_open_pct": NUMBERS,
    "window": st.none() | st.sampled_from(Window),
    "coals": st.none() | st.sampled_from(Coals),
    "other_heat_w": NUMBERS,
    "rh_pct": NUMBERS,
    "wind": st.none() | st.sampled_from(Wind),
    "forecast_low_c": NUMBERS,
    "mark": st.none() | st.sampled_from(Mark),
    "fire_out": st.booleans(),
    "alarms_tested": st.booleans(),
    "change": WORDS,
    "note": WORDS,
    "matter": st.none() | st.one_of([st.from_type(kind) for kind in KINDS.values()]).filter(is_finite),
    "flags": st.frozensets(st.sampled_from(Flag)),
}
ENTRIES = st.builds(Entry, **FIELDS)
NEW = st.builds(
    NewEvent,
    entry=ENTRIES,
    at_typed=st.text(max_size=8),
    zone=st.sampled_from(["UTC", "Europe/Oslo"]),
    how=st.sampled_from(How),
    typed=st.lists(
        st.builds(Typed, st.text(max_size=5), st.text(max_size=5), st.text(max_size=3)), max_size=3
    ).map(tuple),
    line=st.text(max_size=40),
)


@pytest.fixture(scope="module")
def one_log(tmp_path_factory: pytest.TempPathFactory) -> Log:
    """One log for many drawn entries: making one costs more than using it."""
    return open_log(tmp_path_factory.mktemp("drawn") / "cabin.db")


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(new=st.lists(NEW, min_size=1, max_size=3))
def test_whatever_is_recorded_reads_back_the_same(one_log: Log, new: list[NewEvent]) -> None:
    # Lossless: an entry that changed on its way to the disk would change what is learned from it.
    written = one_log.add(new)
    wanted = {event.uuid: event for event in written}
    read = {event.uuid: event for event in one_log.events() if event.uuid in wanted}
    assert read == wanted
    assert [event.entry for event in written] == [item.entry for item in new]
    assert [event.typed for event in written] == [item.typed for item in new]


def test_every_field_of_an_entry_is_drawn() -> None:
    # Guards the test above: a field added later and not drawn would go unchecked.
    assert set(FIELDS) == {field.name for field in fields(Entry)}


def test_order_is_as_written_never_by_clock(log: Log) -> None:
    # "air 20" written after "air 60" must stay after it, even when its time is a slip earlier.
    log.add([said(2, air_open_pct=60.0)])
    log.add([said(1, air_open_pct=20.0)])
    assert [entry.air_open_pct for entry in log.entries()] == [60.0, 20.0]
    assert [event.counter for event in log.current_entries()] == [1, 2]


def test_an_edited_entry_keeps_its_place_and_its_past(log: Log) -> None:
    first, *_ = log.add([said(0, indoor_c=15.0)])
    log.add([said(1, indoor_c=16.0)])
    log.edit(first.uuid, said(0, indoor_c=25.0))
    assert rooms(log) == [25.0, 16.0]
    assert [event.entry.indoor_c for event in log.events() if event.entry] == [15.0, 16.0, 25.0]


def test_an_edit_of_an_edit_is_found_by_the_first_identifier(log: Log) -> None:
    first, *_ = log.add([said(0, indoor_c=15.0)])
    log.edit(first.uuid, said(0, indoor_c=16.0))
    log.edit(first.uuid, said(0, indoor_c=17.0))
    assert rooms(log) == [17.0]
    held = log.find(first.uuid)
    assert held.entry is not None
    assert held.entry.indoor_c == 17.0
    assert log.find(held.uuid) == held


def test_a_line_that_says_more_when_edited_is_one_act(log: Log) -> None:
    first, *_ = log.add([said(0, indoor_c=15.0)])
    log.edit(first.uuid, said(0, indoor_c=16.0), more=[said(0, indoor_c=9.0, place="loft")])
    assert rooms(log) == [16.0, 9.0]
    log.undo()
    assert rooms(log) == [15.0]


def test_removing_leaves_out_but_keeps_the_history(log: Log) -> None:
    first, *_ = log.add([said(0, indoor_c=15.0)])
    gone = log.remove(first.uuid)
    assert gone.entry == first.entry
    assert rooms(log) == []
    assert [event.act for event in log.events()] == [Act.RECORD, Act.REMOVE]
    with pytest.raises(BadInputError, match="taken out"):
        log.edit(first.uuid, said(0, indoor_c=3.0))


def test_undo_takes_back_act_by_act_and_redo_brings_back(log: Log) -> None:
    first, *_ = log.add([said(0, indoor_c=15.0)])
    log.add([said(1, indoor_c=16.0), said(2, indoor_c=17.0)])
    log.edit(first.uuid, said(0, indoor_c=25.0))
    log.remove(first.uuid)
    seen = [rooms(log)]
    for _ in range(4):
        log.undo()
        seen.append(rooms(log))
    assert seen == [[16.0, 17.0], [25.0, 16.0, 17.0], [15.0, 16.0, 17.0], [15.0], []]
    back = []
    for _ in range(4):
        log.redo()
        back.append(rooms(log))
    assert back == [[15.0], [15.0, 16.0, 17.0], [25.0, 16.0, 17.0], [16.0, 17.0]]


def test_undo_says_what_it_took_back(log: Log) -> None:
    log.add([said(1, indoor_c=16.0), said(2, indoor_c=17.0)])
    assert [event.entry.indoor_c for event in log.undo() if event.entry] == [16.0, 17.0]


def test_undo_and_redo_with_nothing_left_are_refused(log: Log) -> None:
    with pytest.raises(LogbookError, match="Nothing") as undo:
        log.undo()
    log.add([said(0, indoor_c=15.0)])
    with pytest.raises(LogbookError, match="Nothing was taken back") as redo:
        log.redo()
    assert "nightload remove ID, or x on its row" in str(undo.value)
    assert "leave out" not in str(redo.value), "that is no answer to bringing back"


def test_a_new_line_ends_what_redo_could_bring_back(log: Log) -> None:
    # As in any editor: redoing under a newer line would put things in an order nobody wrote.
    log.add([said(0, indoor_c=15.0)])
    log.undo()
    log.add([said(0, indoor_c=16.0)])
    with pytest.raises(LogbookError, match="Nothing was taken back"):
        log.redo()
    assert rooms(log) == [16.0]


def test_undo_works_across_restarts(opened: Callable[..., Log]) -> None:
    before = opened()
    before.add([said(0, indoor_c=15.0)])
    before.add([said(1, indoor_c=16.0)])
    before.close()
    after = opened()
    after.undo()
    assert rooms(after) == [15.0]
    after.close()
    later = opened()
    later.redo()
    assert rooms(later) == [15.0, 16.0]


def test_undo_leaves_another_devices_lines_alone(opened: Callable[..., Log]) -> None:
    mine = opened(device="mine")
    mine.add([said(0, indoor_c=15.0)])
    opened(device="yours").add([said(1, indoor_c=16.0)])
    mine.undo()
    assert rooms(mine) == [16.0]


def test_as_of_leaves_out_what_was_meant_for_later(log: Log) -> None:
    # Later records don't exist, however early they were written down (an import comes all at once).
    log.add([said(3, indoor_c=13.0), said(1, indoor_c=11.0), said(2, indoor_c=12.0)])
    assert [entry.indoor_c for entry in log.entries(START + timedelta(hours=2))] == [11.0, 12.0]


def test_since_and_until_include_their_ends(log: Log) -> None:
    log.add([said(hour, indoor_c=float(hour)) for hour in range(5)])
    held = log.current_entries(START + timedelta(hours=1), START + timedelta(hours=3))
    assert [event.entry.indoor_c for event in held if event.entry] == [1.0, 2.0, 3.0]


def test_newest_come_first_and_without_the_logger(log: Log) -> None:
    log.add([said(3, indoor_c=13.0), said(1, indoor_c=11.0)])
    log.add([said(2.5, indoor_c=12.0, flags=frozenset({Flag.LOGGER}))])
    assert [event.entry.indoor_c for event in log.latest(2) if event.entry] == [13.0, 11.0]
    assert [event.entry.indoor_c for event in log.latest(2, logger=True) if event.entry] == [13.0, 12.0]
    assert log.latest_entries(2) == tuple(event.entry for event in log.latest(2))
    assert len(log.entries(logger=False)) == len(log.current_entries(logger=False)) == 2
    assert len(log.entries()) == len(log.current_entries()) == 3
    assert log.newest_at() == START + timedelta(hours=3)


def test_what_tells_upkeep_comes_with_when_it_was_written(log: Log) -> None:
    tested = said(-5, alarms_tested=True)
    log.add([tested, said(1, indoor_c=15.0)])
    assert log.upkeep_written(START) == ((START, tested.entry),)
    assert log.upkeep_written(START - timedelta(hours=6)) == ()


def test_identifiers_may_be_shortened_but_not_too_far(log: Log) -> None:
    first, second = log.add([said(0, indoor_c=15.0), said(1, indoor_c=16.0)])
    assert log.find(first.uuid[:8]).uuid == first.uuid
    with pytest.raises(BadInputError, match="More than one"):
        log.find(second.uuid[:2])
    for missing in ("zz", "", "  ", "%"):
        with pytest.raises(BadInputError):
            log.find(missing)


def test_no_identifier_is_not_the_only_entry_there_is(log: Log) -> None:
    """ "remove" with an empty word would else leave out the one line of a new log."""
    log.add([said(0, indoor_c=15.0)])
    with pytest.raises(BadInputError, match="No identifier"):
        log.remove(" ")
    assert rooms(log) == [15.0]


def test_a_number_that_is_none_is_refused_and_nothing_of_the_line_kept(log: Log) -> None:
    # SQLite would keep NaN as "nothing" without a word.
    with pytest.raises(BadInputError, match="indoor_c"):
        log.add([said(0, outdoor_c=-5.0), said(0, indoor_c=math.nan)])
    assert log.events() == ()


def test_a_time_without_a_zone_is_a_mistake_in_the_program(log: Log) -> None:
    naive = replace(said(0, indoor_c=1.0).entry, at=datetime(2026, 1, 1))  # noqa: DTZ001 - on purpose
    with pytest.raises(ValueError, match="without a zone"):
        log.add([NewEvent(entry=naive)])
    assert log.events() == ()


def cabin(floor_m2: float) -> Description:
    return Description(cabin=Cabin(floor_m2=floor_m2, volume_m3=55.0), stove=Stove(max_load_kg=9.0))


def test_descriptions_are_dated_versions(log: Log) -> None:
    with pytest.raises(NoDescriptionError, match="nightload setup"):
        log.description()
    log.add_description(cabin(20.0))
    log.add_description(cabin(22.0), START)
    log.add_description(cabin(21.0), START - timedelta(days=9))  # written later, valid earlier: --from DATE
    assert [version.description.cabin.floor_m2 for version in log.descriptions()] == [20.0, 21.0, 22.0]
    assert log.description().cabin.floor_m2 == 22.0
    assert log.description(START - timedelta(days=1)).cabin.floor_m2 == 21.0
    assert log.description(START - timedelta(days=99)).cabin.floor_m2 == 20.0


def test_a_description_out_of_its_range_is_refused_before_it_is_kept(log: Log) -> None:
    # Kept, it could not be read again and would lock its owner out of the log.
    with pytest.raises(DescriptionError, match=r"floor_m2 is 0\.5"):
        log.add_description(cabin(0.5))
    assert log.events() == ()


def test_a_description_that_would_read_back_as_another_is_refused(
    log: Log, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A slip in how it is written down would change the cabin unseen: the log holds the text only."""
    monkeypatch.setattr("logbook.store.log.description_to_toml", lambda _: description_to_toml(cabin(21.0)))
    with pytest.raises(DescriptionError, match="Nothing was changed"):
        log.add_description(cabin(20.0))
    assert log.events() == ()


def test_the_first_description_cannot_be_taken_back_later_ones_can(log: Log) -> None:
    log.add_description(cabin(20.0), source="# my cabin\n")
    log.add_description(cabin(22.0), START)
    log.undo()
    assert log.description().cabin.floor_m2 == 20.0
    with pytest.raises(LogbookError):
        log.undo()
    assert log.events()[0].line == "# my cabin\n"  # the owner's own file, remarks and all


def test_a_setting_goes_with_the_line_it_was_learned_from(log: Log) -> None:
    log.set_setting("air_lever_reads", "open")
    log.add([said(0, air_open_pct=25.0)], learned=[("air_lever_reads", "closed")])
    assert log.setting("air_lever_reads") == "closed"
    log.undo()
    assert log.setting("air_lever_reads") == "open"
    assert log.setting("never asked") is None


def test_what_a_correction_teaches_is_remembered_with_it_and_taken_back_with_it(log: Log) -> None:
    """The lever read the other way: the lines are put right and the way is kept, as one act."""
    (wrong,) = log.add([said(0, air_open_pct=25.0)], learned=[("air_lever_reads", "open")])
    log.correct([(wrong.uuid, said(0, air_open_pct=75.0))], learned=[("air_lever_reads", "closed")])
    assert log.setting("air_lever_reads") == "closed"
    log.undo()
    assert (log.setting("air_lever_reads"), log.entries()[0].air_open_pct) == ("open", 25.0)


def test_what_is_kept_here_is_no_event(log: Log, tmp_path: Path) -> None:
    log.keep_here("draft", "in 17")
    log.keep_here("draft", "in 17.5")
    assert log.kept_here("draft") == "in 17.5"
    assert log.kept_here("other") is None
    assert log.events() == ()


def test_a_line_half_typed_in_an_older_version_is_still_there(log: Log) -> None:
    log.connection.execute("INSERT INTO info VALUES ('here:draft', 'in 17')")
    log.connection.commit()
    assert log.kept_here("draft") == "in 17"
    log.keep_here("draft", "in 18")
    assert log.kept_here("draft") == "in 18"


def test_a_log_that_can_take_no_more_says_so_and_keeps_nothing(log: Log) -> None:
    """A counter at SQLite's largest integer (2^63 - 1, its documentation) has none to come after it."""
    log.add([said(0, indoor_c=15.0)])
    log.connection.execute("UPDATE event SET counter = 9223372036854775807")
    log.connection.commit()
    with pytest.raises(LogFileError, match=r"Nothing was saved\.\nLook through the log"):
        log.add([said(1, indoor_c=16.0)])
    assert rooms(log) == [15.0]


def test_adding_nothing_writes_nothing(log: Log) -> None:
    assert log.add([]) == ()
    assert log.events() == ()
