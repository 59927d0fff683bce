"""Tables as people and loggers write them: what is read, what is refused by line, what comes twice."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from logbook.errors import TableError
from logbook.records import Basis, Coals, Entry, Flag, How, Mark, NewEvent, Typed, Wind, Window
from logbook.setting import Setting
from logbook.store.importing import ImportReport, import_table
from logbook.store.log import Log
from logbook.store.loggers import thinned
from logbook.store.tables_in import TableRead, pieces_kg, read_table

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
OSLO = Setting(
    zone="Europe/Oslo",
    pieces_kg=(("S", 0.8), ("M", 1.6), ("L", 2.8)),
    max_load_kg=9.0,
    moisture_basis=Basis.DRY,
)


def read(text: str, *, setting: Setting = OSLO, now: datetime = NOW) -> TableRead:
    return read_table(text.encode(), setting=setting, now=now)


def only(text: str, *, setting: Setting = OSLO) -> Entry:
    table = read(text, setting=setting)
    assert table.refused == ()
    ((_, new),) = table.new
    return new.entry


def reason(text: str, *, setting: Setting = OSLO) -> str:
    table = read(text, setting=setting)
    assert table.new == ()
    (refusal,) = table.refused
    return refusal.text


def test_every_column_is_read_into_its_field() -> None:
    # The contract's columns, in an order of our own; °F and lb by NIST SP 811: 32 + 1.8 °C, 0.45359237 kg.
    header = (
        "note,mark,wind,rh_pct,other_heat_w,coals,window,flue_damper_open_pct,air_open_pct,moisture_basis,"
        "moisture_pct,species,pieces,load_lb,reset_at,high_f,low_f,forecast_low_c,outdoor_f,place,indoor_f,at"
    )
    row = (
        "a mouse,bed,breeze,45,1500,few,cracked,50,25,wet,"
        "18,birch,2 M,10,2026-01-16T18:00,77,59,-12,14,loft,68,2026-01-16 22:30"
    )
    got = only(f"{header}\n{row}\n")
    assert got.at == datetime(2026, 1, 16, 21, 30, tzinfo=UTC)
    assert got.reset_at == datetime(2026, 1, 16, 17, 0, tzinfo=UTC)
    assert (got.indoor_c, got.outdoor_c) == (pytest.approx(20.0), pytest.approx(-10.0))
    assert (got.low_c, got.high_c) == (pytest.approx(15.0), pytest.approx(25.0))
    assert got.load_kg == pytest.approx(4.5359237)
    rest = replace(got, indoor_c=None, outdoor_c=None, low_c=None, high_c=None, load_kg=None, reset_at=None)
    assert rest == Entry(
        at=got.at, place="loft", pieces="2 M", species="birch", moisture_pct=18.0, moisture_basis=Basis.WET,
        air_open_pct=25.0, flue_damper_open_pct=50.0, window=Window.CRACKED, coals=Coals.FEW,
        other_heat_w=1500.0, rh_pct=45.0, wind=Wind.BREEZE, forecast_low_c=-12.0, mark=Mark.BED,
        note="a mouse",
    )  # fmt: skip


def test_value_and_unit_as_typed_are_kept_beside() -> None:
    ((line, new),) = read("at,indoor_f,load_kg\n2026-01-16T22:30,68,4.2\n").new
    assert line == 2
    assert new.typed == (Typed("indoor_c", "68", "°F"), Typed("load_kg", "4.2", "kg"))
    assert (new.at_typed, new.zone, new.how) == ("2026-01-16T22:30", "Europe/Oslo", How.IMPORTED)
    assert new.line == "2026-01-16T22:30,68,4.2"


@pytest.mark.parametrize(
    "at",
    [
        "2026-01-16T22:30",
        "2026-01-16 22:30",
        "2026-01-16T22:30:00",
        "2026-01-16T21:30Z",
        "2026-01-16T16:30-05:00",
    ],
)
def test_ways_to_write_a_time(at: str) -> None:
    assert only(f"at,indoor_c\n{at},17\n").at == datetime(2026, 1, 16, 21, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "text",
    [
        "at;indoor_c;outdoor_c\n2026-01-16T22:30;17,5;-9\n",
        "at\tindoor_c\toutdoor_c\n2026-01-16T22:30\t17,5\t−9\n",
        '\ufeffAt, Indoor_C ,OUTDOOR C\r\n2026-01-16T22:30,"17,5",-9\r\n',
        "# my cabin\n\nat,indoor_c,outdoor_c\n\n2026-01-16T22:30,17.5 °C,-9C\n,,\n",
        "at,indoor_c,outdoor_c,note,wind\n2026-01-16T22:30,17.5,-9\n",
    ],
    ids=[
        "semicolons and decimal commas",
        "tabs and a true minus",
        "spreadsheet",
        "remarks and units",
        "short row",
    ],
)
def test_tables_as_spreadsheets_and_people_write_them(text: str) -> None:
    got = only(text)
    assert (got.indoor_c, got.outdoor_c) == (17.5, -9.0)


def test_other_encodings() -> None:
    text = "at,indoor_c,note\n2026-01-16T22:30,17,mjölk på is\n"
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "cp1252"):
        table = read_table(text.encode(encoding), setting=OSLO, now=NOW)
        assert table.new[0][1].entry.note == "mjölk på is", encoding


def test_rows_keep_the_order_of_the_file_whatever_their_times() -> None:
    table = read("at,air_open_pct\n2026-01-16T22:30,60\n2026-01-16T22:20,20\n")
    assert [new.entry.air_open_pct for _, new in table.new] == [60.0, 20.0]


@pytest.mark.parametrize(
    ("column", "cell", "says"),
    [
        ("indoor_c", "215", "215.*-40 to 100 °C"),
        ("indoor_c", "-41", "-41"),
        ("indoor_f", "250", "250 °F.*to 100 °C"),  # 121 °C
        ("outdoor_c", "-61", "-60 to 60"),
        ("low_c", "101", "101"),
        ("load_kg", "1200", "1200 kg.*100"),
        ("load_kg", "-3", "-3"),
        ("load_kg", "9 lb", "unit 'lb'.*kg"),
        ("indoor_c", "64F", "unit 'f'.*°C"),
        ("indoor_c", "warm", "'warm' is not a number"),
        ("indoor_c", "1.2.3", "not a number|unit"),
        ("indoor_c", "inf", "not a number"),
        ("moisture_pct", "250", "250 %"),
        ("air_open_pct", "130", "130"),
        ("rh_pct", "101", "101"),
        ("other_heat_w", "-5", "-5"),
        ("forecast_low_c", "99", "99"),
        ("window", "ajar", "'ajar' is none of shut, cracked, open"),
        ("coals", "lots", "none, few, good"),
        ("wind", "7", "calm, breeze, strong"),
        ("mark", "sleep", "arrived, bed, woke, left"),
        ("moisture_basis", "w", "wet, dry"),
        ("fire_out", "maybe", "neither yes nor no"),
    ],
)
def test_the_impossible_is_refused_with_its_number(column: str, cell: str, says: str) -> None:
    table = read(f"at,{column},outdoor_f\n2026-01-16T22:30,{cell},20\n2026-01-16T22:40,,20\n")
    ((line, text),) = [(remark.line, remark.text) for remark in table.refused]
    assert line == 2
    assert text.startswith((column, "moisture"))
    assert re.search(says, text), text
    assert len(table.new) == 1, "the other row goes in"


def test_a_limit_itself_is_possible() -> None:
    got = only("at,indoor_c,outdoor_c,air_open_pct,rh_pct\n2026-01-16T22:30,-40,-60,100,100\n")
    assert (got.indoor_c, got.outdoor_c, got.air_open_pct, got.rh_pct) == (-40.0, -60.0, 100.0, 100.0)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("at,indoor_c\nyesterday,17\n", "'yesterday' is no date and time"),
        ("at,indoor_c\n2026-13-01T10:00,17\n", "no date and time"),
        ("at,indoor_c\n2026-01-16,17\n", "no time of day"),
        ("at,indoor_c\n,17\n", "at is blank"),
        ("at,indoor_c\n1926-01-16T22:30,17\n", "before 1970"),
        ("at,indoor_c\n2026-06-01T14:01,17\n", "2026-06-01 14:01 is in the future"),
        ("at,indoor_c\n2026-01-16T22:30,\n", "nothing .* but a time"),
        ("at,indoor_c,place\n2026-01-16T22:30,,loft\n", "nothing .* but a time"),
        ("at,low_c,high_c\n2026-01-16T22:30,20,10\n", "low 20 °C is above high 10 °C"),
        ("at,low_c,reset_at\n2026-01-16T22:30,20,2026-01-16T23:30\n", "reset_at is later"),
        ("at,indoor_c,indoor_f\n2026-01-16T22:30,20,50\n", "contradicts"),
        ("at,air_open_pct,air_closed_pct\n2026-01-16T22:30,25,25\n", "contradicts"),
        ("at,indoor_c\n2026-01-16T22:30,17,4\n", "3 cells under 2 columns"),
        ('at,indoor_c,note\n2026-01-16T22:30,17,"left open\n', "quote"),
    ],
)
def test_rows_that_cannot_be_used_say_why(text: str, says: str) -> None:
    assert re.search(says, reason(text))


def test_a_clock_behind_the_newest_record_does_not_make_the_past_a_future() -> None:
    # A small computer without a clock battery wakes up in another year.
    behind = NOW - timedelta(days=900)
    setting = replace(OSLO, newest_at=datetime(2026, 1, 17, tzinfo=UTC))
    table = read("at,indoor_c\n2026-01-16T22:30,17\n2026-02-16T22:30,17\n", setting=setting, now=behind)
    assert (len(table.new), [remark.line for remark in table.refused]) == (1, [3])


def test_a_stray_quote_costs_one_row_not_the_file() -> None:
    table = read(
        'at,indoor_c,note\n2026-01-16T20:00,17,"open\n'
        '2026-01-16T21:00,18,6" pipe\n2026-01-16T22:00,19,"two\nlines"\n'
    )
    assert [remark.line for remark in table.refused] == [2]
    assert [(line, new.entry.note) for line, new in table.new] == [(3, '6" pipe'), (4, "two\nlines")]


def test_a_stray_quote_does_not_swallow_the_rows_up_to_the_next_one() -> None:
    # Read as one long note, three rows would become one without a word.
    table = read(
        'at,indoor_c,note\n2026-01-16T20:00,17,"open\n2026-01-16T21:00,18,\n2026-01-16T22:00,19,pipe 6"\n'
    )
    assert [remark.line for remark in table.refused] == [2]
    assert [new.entry.indoor_c for _, new in table.new] == [18.0, 19.0]


def test_moisture_is_on_the_basis_said_else_on_the_descriptions() -> None:
    assert only("at,moisture_pct\n2026-01-16T22:30,25\n").moisture_basis is Basis.DRY
    assert only("at,moisture_pct,moisture_basis\n2026-01-16T22:30,25,Wet\n").moisture_basis is Basis.WET
    assert "70 % of the wet wood" in reason("at,moisture_pct,moisture_basis\n2026-01-16T22:30,70,wet\n")
    assert only("at,moisture_pct\n2026-01-16T22:30,70\n").moisture_pct == 70.0  # green wood, of the dry wood


def test_pieces_become_mass_when_the_mass_is_not_given() -> None:
    assert only("at,pieces\n2026-01-16T22:30,3M 1L\n").load_kg == pytest.approx(3 * 1.6 + 2.8)
    assert only("at,pieces,load_kg\n2026-01-16T22:30,3M 1L,7\n").load_kg == 7.0
    table = read("at,pieces\n2026-01-16T22:30,3 chunks\n")
    assert table.new[0][1].entry.load_kg is None
    assert "not weighed" in table.flagged[0].text


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("2M", 3.2),
        ("2 m + 1 L", 6.0),
        ("1,5 M", 2.4),
        ("2 x S and 1 L", 4.4),
        ("M", None),
        ("2M big", None),
        ("3", None),
    ],
)
def test_counted_pieces(text: str, kg: float | None) -> None:
    got = pieces_kg(text, OSLO.pieces_kg)
    assert got == (None if kg is None else pytest.approx(kg))


def test_a_load_above_the_limit_happened_and_is_flagged() -> None:
    table = read("at,load_kg\n2026-01-16T22:30,9\n2026-01-16T22:40,9.1\n")
    assert [new.entry.flags for _, new in table.new] == [frozenset(), frozenset({Flag.OVER_LIMIT})]
    assert [(remark.line, "9.1 kg" in remark.text) for remark in table.flagged] == [(3, True)]


def test_no_wood_written_as_zero_is_no_load() -> None:
    assert only("at,load_kg,indoor_c\n2026-01-16T22:30,0,17\n").load_kg is None


def test_kindling_stands_in_the_note() -> None:
    alone = only("at,load_kg,note\n2026-01-16T22:30,2,Kindling\n")
    assert (alone.kindling, alone.note) == (True, None)
    more = only('at,load_kg,note\n2026-01-16T22:30,2,"kindling, damp"\n')
    assert (more.kindling, more.note) == (True, "kindling, damp")
    denied = only("at,load_kg,note,kindling\n2026-01-16T22:30,2,out of kindling,no\n")
    assert (denied.kindling, denied.note) == (False, "out of kindling")


def test_closed_per_cent_become_open_per_cent() -> None:
    assert only("at,air_closed_pct\n2026-01-16T22:30,75\n").air_open_pct == 25.0
    assert only("at,window\n2026-01-16T22:30,Closed\n").window is Window.SHUT


def test_the_hour_that_never_was_is_taken_as_the_next_and_said() -> None:
    # Europe/Oslo, 29 March 2026: 02:00 CET becomes 03:00 CEST (last Sunday of March, 01:00 UTC).
    table = read("at,indoor_c\n2026-03-29T02:30,17\n")
    assert table.new[0][1].entry.at == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert "02:30 was skipped" in table.flagged[0].text
    assert "03:30" in table.flagged[0].text


def test_the_hour_that_came_twice_is_the_first_unless_rows_before_have_passed_it() -> None:
    # Europe/Oslo, 26 October 2025: 03:00 CEST becomes 02:00 CET (last Sunday of October, 01:00 UTC).
    stamps = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"]
    table = read("at,indoor_c\n" + "".join(f"2025-10-26T{stamp},17\n" for stamp in stamps))
    first = datetime(2025, 10, 25, 23, 30, tzinfo=UTC)
    assert [new.entry.at for _, new in table.new] == [first + timedelta(minutes=30 * n) for n in range(6)]
    assert [(remark.line, "second" in remark.text) for remark in table.flagged] == [(3, False), (5, True)]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\n\n# nothing\n", "empty"),
        (b"at,indoor_c\n", "no rows"),
        (b"time,indoor_c\n2026-01-16T22:30,17\n", "no column 'at'"),
        (b"at,temperature\n2026-01-16T22:30,17\n", "None of the columns"),
        (b"at,indoor_c,indoor_c\n2026-01-16T22:30,17,18\n", "twice"),
        (b"PK\x03\x04\x00\x00\x00\x00", "not a table of text"),
    ],
)
def test_what_is_no_table_of_ours_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(TableError, match=says) as refused:
        read_table(data, setting=OSLO, now=NOW)
    assert refused.value.exit_code == 2


def test_an_unknown_column_is_said_once_and_its_values_kept_beside() -> None:
    table = read("at,indoor_c,battery_v,outdor_c\n2026-01-16T22:30,17,2.9,-9\n2026-01-16T22:40,17,2.8,\n")
    assert len(table.remarks) == 2
    assert "'battery_v'" in table.remarks[0]
    assert "2 values" in table.remarks[0]
    assert "Did you mean 'outdoor_c'?" in table.remarks[1]
    assert "2.9" in table.new[0][1].line


# Into the log


def bring(
    log: Log, text: str, *, strict: bool = False, preview: bool = False, setting: Setting = OSLO
) -> ImportReport:
    return import_table(log, text.encode(), setting=setting, now=NOW, strict=strict, preview=preview)


WEEKEND = "at,indoor_c,load_kg\n2026-01-16T21:00,12,\n2026-01-16T21:10,,4\n2026-01-16T22:00,19,\n"


def test_the_readable_rows_go_in_and_the_rest_is_listed_by_line(log: Log) -> None:
    report = bring(log, WEEKEND + "2026-01-16T23:00,hot,\n2026-01-17T07:00,9,\n")
    assert (report.read, report.added, report.duplicates) == (5, 4, 0)
    assert [remark.line for remark in report.refused] == [5]
    assert report.kinds == (("indoor_c", 3), ("load_kg", 1))
    assert report.last_at == datetime(2026, 1, 17, 6, 0, tzinfo=UTC)
    assert len(log.entries()) == 4


def test_the_same_file_twice_adds_nothing_and_says_so(log: Log) -> None:
    bring(log, WEEKEND)
    again = bring(log, WEEKEND)
    assert (again.added, again.duplicates, again.batch) == (0, 3, None)
    assert len(log.events()) == 3


def test_a_file_that_grew_adds_only_the_new_rows(log: Log) -> None:
    bring(log, WEEKEND)
    report = bring(log, WEEKEND + "2026-01-17T07:00,9,\n")
    assert (report.added, report.duplicates) == (1, 3)


def test_a_row_written_twice_in_one_file_goes_in_once(log: Log) -> None:
    assert bring(log, "at,indoor_c\n" + "2026-01-16T21:00,12\n" * 3).added == 1


def test_the_same_time_with_other_values_is_no_duplicate(log: Log) -> None:
    bring(log, WEEKEND)
    assert bring(log, "at,indoor_c\n2026-01-16T21:00,12.5\n").added == 1


def test_what_was_mended_by_hand_does_not_come_back_with_the_old_file(log: Log) -> None:
    bring(log, WEEKEND)
    first, second, _ = log.current_entries()
    assert first.entry is not None
    log.edit(first.uuid, replace_entry(first.entry, indoor_c=12.5))
    log.remove(second.uuid)
    assert bring(log, WEEKEND).added == 0
    assert [entry.indoor_c for entry in log.entries()] == [12.5, 19.0]


def replace_entry(entry: Entry, **facts: object) -> NewEvent:
    return NewEvent(entry=replace(entry, **facts))  # type: ignore[arg-type]


def test_an_import_is_taken_back_whole_and_can_come_again(log: Log) -> None:
    bring(log, WEEKEND)
    log.undo()
    assert log.entries() == ()
    assert bring(log, WEEKEND).added == 3


def test_strict_takes_all_or_nothing(log: Log) -> None:
    with pytest.raises(TableError, match=r"1 of 4 rows.*\n.*line 5: indoor_c 'hot'"):
        bring(log, WEEKEND + "2026-01-16T23:00,hot,\n", strict=True)
    assert log.entries() == ()
    assert bring(log, WEEKEND, strict=True).added == 3


def test_a_preview_changes_nothing_but_says_the_same(log: Log) -> None:
    shown = bring(log, WEEKEND, preview=True)
    assert log.events() == ()
    done = bring(log, WEEKEND)
    assert replace(shown, batch=done.batch, preview=False) == done


def test_when_no_row_can_be_read_it_is_refused(log: Log) -> None:
    with pytest.raises(TableError, match="None of the 2 rows") as refused:
        bring(log, "at,indoor_c\nx,1\ny,2\n")
    assert refused.value.exit_code == 2


# Loggers


def logged(minutes: int, rows: int) -> str:
    start = datetime(2026, 1, 16, 12, 0, tzinfo=UTC)
    lines = [
        f"{(start + timedelta(minutes=minutes * n)).isoformat()},{12 + n % 50 / 10},-3.5\n"
        for n in range(rows)
    ]
    return "at,indoor_c,outdoor_c\n" + "".join(lines)


def test_a_loggers_rows_are_known_and_can_be_left_out(log: Log) -> None:
    report = bring(log, logged(5, 100))
    assert (report.added, report.by_logger) == (100, 100)
    assert {event.how for event in log.current_entries()} == {How.LOGGER}
    assert log.entries(logger=False) == ()


def test_an_hourly_house_with_a_known_heater_is_no_mere_logger(log: Log) -> None:
    # Heat that somebody put in makes a row a deed: it may open a stay.
    text = (
        logged(60, 60).replace("outdoor_c\n", "outdoor_c,other_heat_w\n").replace(",-3.5\n", ",-3.5,1500\n")
    )
    assert bring(log, text).by_logger == 0


def test_a_few_readings_by_hand_are_no_logger(log: Log) -> None:
    assert bring(log, logged(5, 20)).by_logger == 0


def test_uneven_readings_by_hand_are_no_logger(log: Log) -> None:
    start = datetime(2026, 1, 16, 12, 0, tzinfo=UTC)
    lines = [f"{(start + timedelta(minutes=n * n)).isoformat()},12,-3.5\n" for n in range(40)]
    assert bring(log, "at,indoor_c,outdoor_c\n" + "".join(lines)).by_logger == 0


def test_a_persons_rows_among_a_loggers_stay_a_persons(log: Log) -> None:
    text = logged(5, 60).replace("outdoor_c\n", "outdoor_c,load_kg\n") + "2026-01-16T14:02:00+00:00,,,4\n"
    report = bring(log, text)
    assert (report.added, report.by_logger) == (61, 60)


def test_a_logger_in_fahrenheit_keeps_what_was_written() -> None:
    text = logged(5, 30).replace("indoor_c,outdoor_c", "indoor_f,outdoor_c")
    ((_, new), *_) = read(text).new
    assert new.how is How.LOGGER
    assert new.typed == (Typed("indoor_c", "12.0", "°F"),)


def test_thinned_to_ten_minutes_for_the_fit_a_persons_rows_all_stay() -> None:
    entries = [new.entry for _, new in read(logged(5, 100)).new]
    person = Entry(at=entries[3].at, load_kg=4.0)
    kept = thinned([*entries[:4], person, *entries[4:]])
    gaps = {later.at - earlier.at for earlier, later in pairwise(kept) if person not in (earlier, later)}
    assert gaps == {timedelta(minutes=10)}
    assert person in kept


def test_fifty_thousand_rows_come_in_within_seconds(opened: Callable[..., Log]) -> None:
    # A tenth of the promise (50,000 in 5 s) with room for a busy machine.
    log = opened()
    text = logged(5, 5000)
    began = time.process_time()
    assert bring(log, text).added == 5000
    assert time.process_time() - began < 1.5
