"""What may be pending of a long log is found without its ticks, and after a line by reading that line."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from logbook.actions.remembered import Remembered
from logbook.matters import NAME_OF, Ash, AshAct, DayWeather, Matter, Seen, Sight, Tick, Upkeep, UpkeepRule
from logbook.records import Coals, Entry, Flag, NewEvent
from logbook.store.log import Log
from logbook.store.long_matters import OVER_WITH_THE_DAY, lasting_matters, lasting_matters_added

AT = datetime(2026, 1, 16, 20, 0, tzinfo=UTC)
LATER = AT + timedelta(days=300)
TICK = Tick(list_name="leaving", line="water off", done=True)


def said(matter: Matter, hours: float = 0.0, **more: object) -> NewEvent:
    return NewEvent(entry=Entry(at=AT + timedelta(hours=hours), matter=matter, **more))  # type: ignore[arg-type]


def test_every_kind_is_one_or_the_other() -> None:
    """A kind of matter that comes later is read until somebody says that nothing of it stays pending."""
    assert set(OVER_WITH_THE_DAY) < set(NAME_OF.values())
    lasting = set(NAME_OF.values()) - set(OVER_WITH_THE_DAY)
    assert lasting == {NAME_OF[kind] for kind in (Ash, Upkeep, UpkeepRule, Seen)}


def test_ticks_and_weather_are_passed_over_unless_they_say_more(log: Log) -> None:
    ash = said(Ash(act=AshAct.TAKEN_OUT, where="shed"))
    seen = said(Seen(sight=Sight.FROST, place="pantry"), 1.0)
    with_note = said(TICK, 2.0, note="ash out")
    with_wood = said(TICK, 3.0, load_kg=3.0)
    with_coals = said(TICK, 4.0, coals=Coals.FEW)
    log.add(
        [
            ash,
            seen,
            said(TICK, 1.5),
            said(DayWeather(day=date(2026, 1, 16), low_c=-8.0, high_c=-2.0)),
            with_note,
        ]
    )
    log.add([with_wood, with_coals])
    kept = [ash, seen, with_note, with_wood, with_coals]
    assert lasting_matters(log) == tuple(new.entry for new in kept)


def test_after_a_line_only_that_line_is_read(log: Log) -> None:
    log.add([said(Ash(act=AshAct.TAKEN_OUT))])
    before = log.acts_written()
    log.add([said(Ash(act=AshAct.TIPPED, where="pit"), 30.0), said(TICK, 31.0)])
    log.set_setting("air lever", "open")
    (added,) = lasting_matters_added(log, after=before) or ()
    assert added.at == AT + timedelta(hours=30)


def test_what_is_remembered_is_as_if_read_anew_after_every_kind_of_act(log: Log) -> None:
    kept = Remembered(log)

    def is_right() -> bool:
        anew, since = Remembered(log), AT - timedelta(hours=50)
        assert kept.since(since) == anew.since(since)
        return kept.matters(LATER) == anew.matters(LATER) == lasting_matters(log)

    (first,) = log.add([said(Ash(act=AshAct.TAKEN_OUT), 5.0)])
    assert is_right()
    log.add([said(Seen(sight=Sight.FROST, place="pantry"), 5.0), said(TICK, 1.0)])
    assert is_right(), "of one time, in the order written"
    log.add([said(TICK, 1.0, flags=frozenset({Flag.LOGGER}))])
    assert is_right(), "a logger's row"
    log.add([said(Upkeep(task="flue", finding="fine", deposit_mm=2.0), -100.0)])
    assert is_right(), "meant for earlier"
    log.edit(first.uuid, said(Ash(act=AshAct.TIPPED, where="pit"), 6.0))
    assert is_right(), "edited"
    log.undo()
    assert is_right(), "taken back"
    log.redo()
    assert is_right(), "brought back"
    log.remove(first.uuid)
    assert is_right(), "removed"
    assert len(kept.matters(LATER)) == 2
