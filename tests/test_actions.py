"""What an owner can ask for, below the commands: the desk, how things stand, the track record, the cache."""

from __future__ import annotations

import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from small_cabin import DESCRIPTION, ROWS, cabin

from logbook.actions import files, lines, nights, reckoning, standing
from logbook.actions.desk import AppDesk, desk_for
from logbook.actions.house import house_of
from logbook.actions.machine import machine_zone
from logbook.actions.night_answers import burning, line_for
from logbook.actions.opening import Place, place_of
from logbook.actions.reckoning import Cache, Known, fingerprint, known, posterior_of
from logbook.actions.setting_now import LEVER
from logbook.actions.tonight import Request, night_of_request, said_low_c, tonight
from logbook.description import parse_description
from logbook.entry import read_line
from logbook.errors import EntryError, LogbookError, NoDescriptionError
from logbook.heat.past_nights import PastNight
from logbook.records import (
    Alarms,
    Coals,
    DatedDescription,
    Entry,
    Flag,
    Mark,
    OwnUnits,
    Window,
)
from logbook.results.app import Standing
from logbook.results.night import NightScore, Range
from logbook.setting import setting_of
from logbook.ui.asking import Desk

__all__ = ["cabin"]

ZONE = ZoneInfo("Etc/GMT-1")
NOW = datetime(2026, 1, 16, 21, 40, tzinfo=ZONE)
DESCRIBED = parse_description(DESCRIPTION, machine_zone="UTC")
SMALLER = replace(DESCRIBED, cabin=replace(DESCRIBED.cabin, floor_m2=20.0))
SETTING = setting_of(DESCRIBED)


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-01-{text}").replace(tzinfo=ZONE).astimezone(UTC)


@pytest.fixture
def place(cabin: Path) -> Place:
    """A log with its description and two stays."""
    found = place_of(str(cabin / "log.db"))
    with found.open(create=True) as log:
        files.setup(log, DESCRIBED, DESCRIPTION, since=None, now=NOW)
        files.bring_in(log, cabin / "rows.csv", now=NOW)
    return found


@pytest.fixture
def desk(place: Place):
    with desk_for(str(place.path), at=NOW) as opened:
        yield opened


def told(place: Place, as_of: datetime = NOW) -> Known:
    with place.open() as log:
        return known(log, as_of=as_of)


# What is known as of a time


def test_later_records_do_not_exist(place):
    early = told(place, at("10T12:00"))
    assert len(early.entries) == 10
    assert max(e.at for e in early.entries) == at("10T12:00")
    assert told(place).before(at("10T12:00")).entries == early.entries


def test_a_version_from_later_on_does_not_exist_yet():
    old, new = DESCRIBED, replace(DESCRIBED, stove=replace(DESCRIBED.stove, max_load_kg=5.0))
    versions = (
        DatedDescription(uuid="a", valid_from=None, description=old),
        DatedDescription(uuid="b", valid_from=at("15T00:00"), description=new),
    )
    both = Known(as_of=NOW, entries=(), descriptions=versions)
    assert both.description.stove.max_load_kg == 5.0
    assert both.before(at("14T12:00")).description.stove.max_load_kg == 8.0


def test_the_key_changes_with_what_is_learned_from_and_with_nothing_else():
    entry = Entry(at=at("16T20:00"), indoor_c=19.0, flags=frozenset({Flag.ODD_VALUE, Flag.OVER_LIMIT}))
    version = DatedDescription(uuid="a", valid_from=None, description=DESCRIBED)
    base = Known(as_of=NOW, entries=(entry,), descriptions=(version,))
    assert fingerprint(replace(base, as_of=NOW + timedelta(minutes=5))) == fingerprint(base)
    for other in (
        replace(base, entries=(replace(entry, indoor_c=19.5),)),
        replace(base, entries=(replace(entry, flags=frozenset()),)),
        replace(base, entries=()),
        replace(base, descriptions=(replace(version, description=SMALLER),)),
    ):
        assert fingerprint(other) != fingerprint(base)
    same = replace(base, descriptions=(replace(version, uuid="b"),))
    assert fingerprint(same) == fingerprint(base), "two logs that say the same are answered alike"


def test_the_key_is_the_same_in_another_process():
    """Sets of words come in another order in every process; a key must not."""
    code = (
        "import test_actions as t\n"
        "e = t.Entry(at=t.at('16T20:00'), flags=frozenset(t.Flag))\n"
        "v = t.DatedDescription(uuid='a', valid_from=None, description=t.DESCRIBED)\n"
        "print(t.fingerprint(t.Known(as_of=t.NOW, entries=(e,), descriptions=(v,))))"
    )
    keys = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parent), "HOME": "/tmp"},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(keys) == 1


def test_a_log_without_description_is_refused(cabin):
    with place_of(str(cabin / "new.db")).open(create=True) as log, pytest.raises(NoDescriptionError):
        known(log, as_of=NOW)


class Drawer:
    """Bytes by key, in memory."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def get(self, key: str) -> bytes | None:
        return self.kept.get(key)

    def put(self, key: str, blob: bytes) -> None:
        self.kept[key] = blob


def test_arrays_come_back_from_the_cache_as_they_went_in():
    cache = Cache(Drawer())
    cache.put("a", {"z": np.arange(6.0).reshape(2, 3), "names": np.array(["skirting"])})
    got = cache.get("a")
    assert got is not None
    assert got["z"].tolist() == [[0, 1, 2], [3, 4, 5]]
    assert got["names"].tolist() == ["skirting"]
    assert cache.get("b") is None


def test_a_spoilt_cache_is_work_done_again_not_an_error(place):
    drawer = Drawer()
    first = posterior_of(told(place), cache=Cache(drawer))
    drawer.kept = dict.fromkeys(drawer.kept, b"PK\x03\x04 not an archive")
    again = posterior_of(told(place), cache=Cache(drawer))
    assert np.array_equal(first.z, again.z), "the same dice fall for the same log"


# The question about tonight


def test_a_bed_mark_already_made_is_tonights_bed(place):
    asked = told(place)
    marked = replace(asked, entries=(*asked.entries, Entry(at=at("16T21:35"), mark=Mark.BED)))
    assert night_of_request(marked, Request(as_of=NOW))[0] == at("16T21:35")
    assert night_of_request(asked, Request(as_of=NOW)) == (at("16T22:30"), at("17T06:30"))


def test_the_low_said_today_counts_and_yesterdays_does_not(place):
    assert said_low_c(told(place), Request(as_of=NOW)) == -10.0
    assert said_low_c(told(place), Request(as_of=NOW, night_low_c=-3.0)) == -3.0
    assert said_low_c(told(place), Request(as_of=NOW + timedelta(days=2))) is None


def test_alarms_tested_in_an_earlier_stay_do_not_count(place):
    asked = told(place)
    before = replace(asked, entries=(Entry(at=at("09T16:30"), alarms_tested=True), *asked.entries))
    now = replace(asked, entries=(*asked.entries, Entry(at=at("16T21:38"), alarms_tested=True)))
    first = {
        name: tonight(k, Request(as_of=NOW, plan=lambda _: ())).answer.cautions[0]
        for name, k in (("earlier", before), ("now", now))
    }
    assert first["earlier"].startswith("Alarms not tested")
    assert not first["now"].startswith("Alarms not tested")


# The track record


def night(**changes: object) -> PastNight:
    base = PastNight(
        bed=at("09T22:30"), wake=at("10T06:30"), inferred=False, plan=(), load_kg=0.0, pieces="",
        air_open_pct=30.0, window=Window.SHUT, loads_after=0, load_after_kg=0.0, start_c=20.0,
        outdoor_low_c=None, woke_c=12.5,
    )  # fmt: skip
    return replace(base, **changes)


def test_the_plan_of_a_past_night_holds_deeds_only():
    plan = (
        Entry(at=at("09T22:31"), load_kg=2.8, air_open_pct=30.0, indoor_c=20.5, note="x", species="birch"),
    )
    steps = nights.plan_of(night(plan=plan, window=Window.CRACKED))
    assert steps[0] == Entry(at=at("09T22:30"), window=Window.CRACKED)
    assert steps[1] == Entry(at=at("09T22:31"), load_kg=2.8, air_open_pct=30.0)


def test_no_later_reading_moves_a_past_nights_range(place):
    """The morning's reading, the next evening, a warm word in between: nothing of it may be seen."""
    whole = nights.nights(told(place))
    with place.open() as log:
        lines.note(log, "2026-01-10 03:00 in 35 out 15", now=NOW, yes=True)
    again = nights.nights(told(place))
    assert again.nights[0].predicted_at_wake_c == whole.nights[0].predicted_at_wake_c
    assert whole.nights[0].observed_at_wake_c == 12.5


def test_the_plan_after_bed_does_move_it(place):
    def without_load(known_: Known) -> Known:
        return replace(known_, entries=tuple(e for e in known_.entries if e.load_kg != 2.8))

    lit = nights.nights(told(place)).nights[0].predicted_at_wake_c.p50
    out = nights.nights(without_load(told(place))).nights[0].predicted_at_wake_c.p50
    assert lit > out + 1


def test_counts_and_miss_by_hand():
    """Misses of −1, 2 and 2: root of 9/3 is 1.732; two of three inside; one night nobody read."""

    def score(p50: float, seen: float | None, inside: bool | None) -> NightScore:
        return NightScore(
            bed=at("09T22:30"), wake=at("10T06:30"), predicted_at_wake_c=Range(p50 - 1.5, p50, p50 + 1.5),
            observed_at_wake_c=seen, inside_90=inside, wood_kg=0.0, air_open_pct=None,
        )  # fmt: skip

    got = nights.answer_of(
        (score(14, 15, True), score(16, 14, False), score(18, 16, True), score(10, None, None))
    )
    assert (got.count, got.inside_90) == (3, 2)
    assert got.rmse_c == pytest.approx(1.7320508)


def test_it_can_be_stopped_and_says_how_far_it_is(place):
    seen = []
    got = nights.nights(told(place), progress=lambda done, of: seen.append((done, of)), stop=lambda: True)
    assert (got.nights, seen) == ((), [(0, 1)])


# Lines


def test_a_lever_that_the_description_names_is_not_asked_about(place):
    with place.open() as log:
        assert "1/4 open" in lines.note(log, "air 1/4", now=NOW).sentence


def test_an_unnamed_lever_is_asked_about_and_remembered(cabin):
    with place_of(str(cabin / "new.db")).open(create=True) as log:
        silent = DESCRIPTION.replace('air_lever_reads = "open"\n', "")
        files.setup(log, parse_description(silent, machine_zone="UTC"), silent, since=None, now=NOW)
        with pytest.raises(EntryError, match="lever"):
            lines.note(log, "air 1/4", now=NOW)
        lines.note(log, "air 1/4", now=NOW, yes=True)
        assert log.setting(LEVER) == "open"
        assert not lines.note(log, "air 1/3", now=NOW).warnings


def test_a_refused_line_leaves_the_log_as_it_was(place):
    with place.open() as log:
        before = log.events()
        for text in ("in 99", "", "nights", "25:10 in 18"):
            with pytest.raises(EntryError):
                lines.note(log, text, now=NOW)
        assert log.events() == before


def test_an_edit_without_a_time_keeps_the_entrys_own(place):
    with place.open() as log:
        event = log.current_entries()[3]
        lines.edit(log, event.uuid, "in 17", now=NOW)
        assert log.find(event.uuid).entry == Entry(at=at("09T19:00"), indoor_c=17.0)


def test_a_clock_time_in_an_edit_is_meant_on_the_entrys_own_evening(place):
    with place.open() as log:
        event = log.current_entries()[3]
        lines.edit(log, event.uuid, "18:45 in 17", now=NOW)
        assert log.find(event.uuid).entry.at == at("09T18:45")


def test_own_measures_and_bands_are_kept(place):
    with place.open() as log:
        lines.note(log, "box = 19 kg", now=NOW)
        assert lines.setting_now(log).own_words == (("box", 19.0),)
        lines.note(log, "band 15-20", now=NOW)
        assert log.description().comfort.band_c == (15.0, 20.0)
        lines.undo(log, now=NOW)
        assert log.description().comfort.band_c == (16.0, 22.0)


# How things stand


def entries_of(*rows: Entry) -> tuple[Entry, ...]:
    return (Entry(at=at("16T16:00"), mark=Mark.ARRIVED, indoor_c=4.0), *rows)


def heads(*rows: Entry, now: datetime = NOW, described=DESCRIBED):
    return standing.head(entries_of(*rows), described, setting=SETTING, now=now)


def test_the_head_says_the_last_readings_and_the_fire():
    got = heads(
        Entry(at=at("16T20:55"), load_kg=3.2, pieces="2M", air_open_pct=50.0),
        Entry(at=at("16T21:30"), indoor_c=19.5, outdoor_c=-9.0),
    )
    assert got.inside == ("19.5 °C", at("16T21:30"))
    assert got.outside == ("−9 °C", at("16T21:30"))
    assert got.fire == "2 M at 20:55, air 1/2 open (1/2 closed) since then, window shut"
    assert got.place == "Rushlight"


FIRES = [
    ((), "not lit yet, window shut"),
    (
        (Entry(at=at("16T20:00"), load_kg=3.2), Entry(at=at("16T21:00"), fire_out=True)),
        "out at 21:00, window shut",
    ),
    (  # found out, and lit anew in the same line
        (Entry(at=at("16T21:00"), fire_out=True, load_kg=3.2, kindling=True),),
        "3.2 kg at 21:00, window shut",
    ),
    (
        (Entry(at=at("16T20:00"), load_kg=3.2), Entry(at=at("16T20:20"), air_open_pct=25.0)),
        "3.2 kg at 20:00, air 1/4 open (3/4 closed) since 20:20, window shut",
    ),
    (  # "since then" was since it was found out
        (Entry(at=at("16T20:00"), load_kg=3.2, air_open_pct=100.0), Entry(at=at("16T21:00"), fire_out=True)),
        "out at 21:00, air all open (none closed) since 20:00, window shut",
    ),
    (  # the load of the evening before still stood there as the fire
        (Entry(at=at("16T12:00"), load_kg=3.2), Entry(at=at("16T21:00"), coals=Coals.NONE)),
        "no coals at 21:00, window shut",
    ),
    (
        (Entry(at=at("16T20:00"), load_kg=3.2), Entry(at=at("16T21:00"), coals=Coals.FEW)),
        "3.2 kg at 20:00, window shut",
    ),
]


@pytest.mark.parametrize(("rows", "words"), FIRES)
def test_the_fire_row(rows, words):
    assert heads(*rows).fire == words


def names(*rows: Entry, **kwargs: object) -> list[str]:
    return [p.name for p in heads(*rows, **kwargs).pending]


TESTED = Entry(at=at("16T16:05"), alarms_tested=True)


def test_alarms_wait_until_tested_in_this_stay():
    assert names() == ["alarms"]
    assert names(TESTED) == []


def test_who_arrives_in_the_minute_the_last_one_left_tests_the_alarms_anew():
    handed_over = (Entry(at=at("16T16:30"), mark=Mark.LEFT), Entry(at=at("16T16:30"), mark=Mark.ARRIVED))
    assert names(TESTED, *handed_over) == ["alarms"]
    assert names(TESTED, *handed_over, Entry(at=at("16T16:35"), alarms_tested=True)) == []


BAND_F = OwnUnits(temperature="F", mass="lb")


def test_a_band_and_a_measure_are_said_in_the_owners_units(place):
    with place.open() as log:
        described = log.description()
        log.add_description(replace(described, units=BAND_F), NOW - timedelta(days=1))
        heard = read_line("band 60-70", now=NOW, setting=lines.setting_now(log))
        assert lines.act_text(heard) == "wanted from now on: 60–70 °F"
        assert lines.do_act(log, heard, now=NOW).sentence == "Wanted from now on: 60–70 °F."
        box = read_line("box = 20 lb", now=NOW, setting=lines.setting_now(log))
        assert lines.do_act(log, box, now=NOW).sentence == (
            "1 box = 20.0 lb, 9 in 10 between 19.3 and 20.7 lb, from now on."
        )


def test_a_turn_down_waits_until_recorded_skipped_or_long_past():
    load = Entry(at=at("16T21:10"), load_kg=3.2, air_open_pct=80.0)
    assert names(TESTED, load) == ["turn-down"]
    assert names(TESTED, load, Entry(at=at("16T21:25"), air_open_pct=25.0)) == []
    assert names(TESTED, load, Entry(at=at("16T21:30"), note=standing.SKIPPED)) == []
    assert names(TESTED, load, now=NOW + timedelta(hours=4)) == []
    assert names(TESTED, replace(load, air_open_pct=30.0)) == [], "turned down with the load"


def test_a_first_turn_down_is_not_told_as_usual():
    load = Entry(at=at("16T21:10"), load_kg=3.2)
    for later, said in ((5, "Air down to"), (25, "It is due 12 min after a load")):
        (pending,) = heads(TESTED, load, now=load.at + timedelta(minutes=later)).pending
        assert said in pending.long
        assert "usual" not in f"{pending.short} {pending.long}".casefold()


def test_the_turn_down_offered_is_the_owners_own_never_below_the_floor():
    habit = (
        Entry(at=at("16T17:00"), load_kg=3.2, air_open_pct=80.0),
        Entry(at=at("16T17:30"), air_open_pct=10.0),
    )
    (pending,) = heads(TESTED, *habit, Entry(at=at("16T21:10"), load_kg=3.2)).pending
    assert "Usual at 30 min" in pending.short
    assert pending.done == "air 25% open"
    assert len(pending.short) <= 71
    assert len(pending.long) <= 111


@pytest.mark.parametrize("air_open_pct", [25.0, 30.0, 37.0])
def test_until_it_is_time_the_turn_down_says_when_and_to_set_a_timer(air_open_pct):
    """A closed laptop can't ring. The widest words still fit the rows of both sizes."""
    habit = (
        Entry(at=at("16T17:00"), load_kg=3.2, air_open_pct=80.0),
        Entry(at=at("16T17:40"), air_open_pct=air_open_pct),
    )
    load = Entry(at=at("16T21:10"), load_kg=3.2)
    (pending,) = heads(TESTED, *habit, load, now=at("16T21:20")).pending
    assert " at 21:50" in pending.short
    assert "Set a timer." in pending.short
    assert "Set a kitchen timer: this can't ring." in pending.long
    assert len(pending.short) <= 71
    assert len(pending.long) <= 111
    assert heads(TESTED, *habit, load, now=at("16T21:49")).pending[0].short == pending.short, "nothing moves"


def test_an_alarm_past_its_date_waits_first():
    old = replace(DESCRIBED, alarms=Alarms(co_expires=date(2026, 1, 16), smoke_expires=date(2030, 1, 1)))
    assert names(TESTED, described=old) == ["CO alarm"]


def test_a_clock_behind_the_newest_line_is_said_first():
    """A flat laptop wakes in 1980."""
    assert names(TESTED, now=datetime(1980, 1, 1, tzinfo=UTC))[0] == "clock"


# The app's desk


def test_the_desk_is_what_the_app_asks_for(desk):
    asked: Desk = desk
    missing = [n for n in dir(Desk) if not n.startswith("_") and not callable(getattr(asked, n, None))]
    assert missing == []


def test_reading_keeping_and_taking_back(desk):
    heard = desk.read("-9/21 1M 1L air 1/4")
    assert heard.standing is Standing.READS
    assert "1 M 1 L 4.4 kg" in heard.sentence
    kept = desk.keep(heard)
    assert desk.latest(1)[0].event_id == kept.event_ids[0]
    assert desk.head().inside == ("21.0 °C", NOW)
    assert "Taken back" in desk.undo().sentence
    assert desk.head().inside == ("20.0 °C", at("16T21:30"))
    assert "Brought back" in desk.redo().sentence


def test_a_question_is_answered_by_its_key(desk):
    heard = desk.read("65 in")
    assert heard.standing is Standing.ASKS
    assert "enter" in heard.answers
    meant = desk.answer(heard, "enter")
    assert meant.standing is Standing.READS
    desk.keep(meant)
    assert desk.head().inside[0] == "18.3 °C", "65 °F is 18.3 °C"


def test_what_can_not_be_stops_with_its_place(desk):
    heard = desk.read("out -9 in 109")
    assert heard.standing is Standing.STOP
    assert heard.caret is not None


def test_the_rest_of_a_word_is_offered(desk):
    assert desk.read("2M bir").offered == "ch"
    assert desk.read("-9/21").offered == ""


def test_a_line_can_be_changed_and_left_out(desk):
    kept = desk.keep(desk.read("in 19"))
    desk.edit(kept.event_ids[0], desk.read("in 18.5"))
    assert desk.head().inside[0] == "18.5 °C"
    desk.remove(desk.latest(1)[0].event_id)
    assert desk.head().inside[0] == "20.0 °C"


def test_lines_go_back_into_the_writing_line_so_that_they_read(desk):
    """Imported rows too: what is offered for changing says the same when it is read."""
    for line in desk.latest(20):
        assert desk.read(line.typed).standing is not Standing.STOP, line.typed


def test_only_this_stays_lines_are_listed(desk):
    assert len(desk.latest(99)) == 6


def test_a_skip_can_be_taken_back(desk):
    desk.keep(desk.read("2M air 80% open"))
    assert "turn-down" in [p.name for p in desk.head().pending]
    desk.skip("turn-down")
    assert "turn-down" not in [p.name for p in desk.head().pending]
    desk.undo()
    assert "turn-down" in [p.name for p in desk.head().pending]


def test_draft_and_look_are_kept_for_next_time(place):
    with desk_for(str(place.path), at=NOW) as first:
        first.keep_draft("-9/2")
        first.keep_look("snow")
    with desk_for(str(place.path), at=NOW) as second:
        assert (second.draft(), second.look()) == ("-9/2", "snow")


def test_the_nights_answers(desk):
    said = []
    expected = desk.expect(said.append)
    evening = desk.tonight(said.append)
    assert expected.choice.loads == ()
    assert expected.short.startswith("If nothing more goes in: peak")
    assert len(expected.short) <= 71
    assert len(expected.long) <= 111
    assert len(evening.lines) == len(evening.ahead) == len(evening.answer.choices)
    assert said == ["learning from the readings"], "learned once"
    for line, choice in zip(evening.lines, evening.answer.choices, strict=True):
        assert bool(line) == bool(choice.loads)
        if line:
            kept = desk.read(line).token.entry
            assert kept.load_kg == pytest.approx(choice.loads[0].kg, abs=0.06)
            assert kept.air_open_pct == pytest.approx(choice.loads[0].air_open_pct, abs=1)


def test_a_plan_is_tried_and_what_is_no_plan_is_not(desk):
    warm = desk.try_plan("1M 1L air 1/4")
    assert warm is not None
    assert warm.choice.wood_kg == pytest.approx(4.4)
    assert desk.try_plan("-9/21") is None
    assert desk.try_plan("bed") is None


def test_slow_calls_may_come_from_another_thread(place):
    """The app's worker: its own connection, closed in its own thread, while the screen's goes on."""
    with desk_for(str(place.path), at=NOW) as opened, ThreadPoolExecutor(max_workers=1) as worker:
        opened.head()
        later = worker.submit(opened.tonight, lambda _: None)
        opened.keep(opened.read("in 19"))
        assert later.result(timeout=60).answer.choices
        assert worker.submit(opened.try_plan, "2M air 1/3").result(timeout=60) is not None


def test_the_track_has_the_newest_night_first(desk):
    track = desk.nights(lambda _: None)
    assert [row.wood for row in track.rows] == ["2.8 kg"]
    assert track.score[0].startswith("1 night told beforehand")


def test_a_demo_clock_stands(place):
    assert AppDesk(place, at=NOW).now() == NOW
    assert abs(AppDesk(place).now() - datetime.now(UTC)) < timedelta(minutes=1)


def test_the_first_screen_pays_for_no_model(place):
    code = (
        "import sys\nfrom logbook.actions.desk import desk_for\n"
        f"with desk_for({str(place.path)!r}) as d:\n"
        "    d.head(); d.latest(50); d.read('-9/21'); d.past(d.now()); d.description()\n"
        "print(sorted({'numpy', 'pandas', 'sqlite_utils', 'plotext'} & set(sys.modules)))"
    )
    got = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert got.stdout.strip() == "[]"


def test_stretches_of_burning():
    hours = [NOW + timedelta(minutes=15 * i) for i in range(6)]
    got = burning(hours, [2, 2, 1, 1, 0, 0])
    assert [(b.start, b.end, b.coals_only) for b in got] == [
        (hours[0], hours[2], False),
        (hours[2], hours[4], True),
    ]


def test_no_fire_puts_nothing_into_the_line(desk):
    none = [c for c in desk.tonight(lambda _: None).answer.choices if not c.loads]
    assert line_for(none[0]) == ""


# The machine


ZONES = [  # TZ, /etc/timezone, expected
    ("Europe/Oslo", "", "Europe/Oslo"),
    (":America/Toronto", "", "America/Toronto"),
    ("", "Asia/Tokyo\n", "Asia/Tokyo"),
    ("No/Where", "Asia/Tokyo", "Asia/Tokyo"),
]


@pytest.mark.parametrize(("named", "written", "expected"), ZONES)
def test_the_machines_zone(tmp_path, named, written, expected):
    (tmp_path / "timezone").write_text(written, encoding="ascii")
    got = machine_zone(
        NOW, environment={"TZ": named}, localtime=tmp_path / "none", timezone=tmp_path / "timezone"
    )
    assert got == expected


@pytest.mark.parametrize(
    ("here", "hours"), [("Europe/Oslo", 1.0), ("Asia/Kolkata", 5.5), ("America/St_Johns", -3.5), ("UTC", 0.0)]
)
def test_without_a_name_the_present_offset_stands_for_the_zone(tmp_path, monkeypatch, here, hours):
    """Half-hour offsets too: India and Newfoundland are half an hour off any whole one."""
    monkeypatch.setenv("TZ", here)
    time.tzset()
    try:
        got = machine_zone(NOW, environment={}, localtime=tmp_path / "a", timezone=tmp_path / "b")
    finally:
        monkeypatch.undo()
        time.tzset()
    assert ZoneInfo(got).utcoffset(NOW) == timedelta(hours=hours)


def test_before_there_is_a_description_times_are_those_of_the_wall(tmp_path, monkeypatch):
    """21:40 typed in Toronto in January is 02:40 UTC of the next day; it was once kept as 21:40 UTC."""
    monkeypatch.setenv("TZ", "America/Toronto")
    place = Place(tmp_path / "log.db")
    with place.open(create=True) as log:
        lines.note(log, "16 jan 2026 21:40 ash out", now=NOW + timedelta(days=9))
        (entry,) = log.entries()
        house = house_of(log, as_of=NOW + timedelta(days=9))
    assert entry.at == datetime(2026, 1, 17, 2, 40, tzinfo=UTC)
    assert house.setting.zone == "America/Toronto"


def test_what_was_read_by_somebody_else_is_refused(desk):
    with pytest.raises(LogbookError):
        desk.keep(replace(desk.read("in 19"), token=None))


def test_rows_and_description_here_are_read_whole():
    assert len(ROWS.strip().splitlines()) == 17
    assert reckoning.seed_of("f" * 64) < 2**60


def test_a_stay_begun_yesterday_is_said_with_its_day():
    # "39 more lines since 17:55" above a line of 18:02 read as seven minutes: it was the evening before.
    setting = replace(setting_of(parse_description(DESCRIPTION, machine_zone="UTC")), zone="Etc/GMT-1")
    now = datetime(2026, 2, 28, 20, 40, tzinfo=UTC)
    yesterday = [Entry(at=now - timedelta(hours=h), indoor_c=15.0) for h in (27.75, 20, 10, 0)]
    assert standing.head(yesterday, None, setting=setting, now=now).stay == "since Fri 27 Feb 17:55"
    assert standing.head(yesterday[3:], None, setting=setting, now=now).stay == "since 21:40"
