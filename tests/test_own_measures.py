"""The owner's own measures: said with their spread, and past loads changed only when the owner says so."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from small_cabin import DESCRIPTION

from logbook.actions import lines, own_measures
from logbook.actions.desk import AppDesk
from logbook.actions.opening import place_of
from logbook.description import parse_description
from logbook.entry import read_line
from logbook.entry.measures import COUNTING_SD, PIECE_SD, SCALE_SD
from logbook.errors import EntryError
from logbook.records import Act, Entry, Flag, How, NewEvent, Typed
from logbook.results.app import Standing
from logbook.setting import setting_of
from logbook.store.log import Log
from logbook.ui.cells import text_of
from logbook.ui.session import Session

ZONE = ZoneInfo("Etc/GMT-1")
NOW = datetime(2026, 1, 16, 21, 41, tzinfo=ZONE)
# A stove that takes a box at once, and splits of 0.9 kg.
BIG = DESCRIPTION.replace("max_load_kg = 8", "max_load_kg = 45").replace("S = 0.8", "split = 0.9, S = 0.8")
ASKED = "6 boxes since 9 Jan were 96 kg, become 119 kg. Enter from 9 Jan, n from now."


class Clock:
    """A clock the log and the lines share."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def path(tmp_path: Path, clock: Clock) -> Path:
    """A log in which six boxes of 16 kg were burned, one beside a piece; a further one was weighed."""
    with place_of(str(tmp_path / "log.db")).open(create=True, now=clock) as log:
        log.add_description(parse_description(BIG, machine_zone="UTC"))
        clock.now = NOW - timedelta(days=8)
        write(log, clock, "box = 16 kg")
        for text in (
            "9 jan 18:00 2 boxes",
            "10 jan 18:00 1 box 1M",
            "11 jan 18:00 2 Boxes",
            "12 jan 9:00 a box",
        ):
            clock.now = NOW
            write(log, clock, text)
        write(log, clock, "13 jan 9:00 1 box 16kg")
        write(log, clock, "13 jan 10:00 3M")
    return tmp_path / "log.db"


@pytest.fixture
def log(path: Path, clock: Clock) -> Iterator[Log]:
    with place_of(str(path)).open(now=clock) as opened:
        yield opened


def write(log: Log, clock: Clock, text: str, *, yes: bool = False) -> lines.Noted:
    return lines.note(log, text, now=clock.now, yes=yes)


def loads(log: Log) -> list[float | None]:
    return [e.load_kg for e in log.entries()]


BEFORE = [32.0, 17.6, 32.0, 16.0, 16.0, 4.8]
AFTER = [39.6, 21.4, 39.6, 19.8, 16.0, 4.8]
"""19.8 kg instead of 16 kg for every counted box: the M beside one, and what was weighed, stay."""


def answer(log: Log, clock: Clock, text: str, key: str) -> lines.Noted:
    setting = lines.with_names(log, lines.setting_now(log), text)
    heard = read_line(text, now=clock.now, setting=setting, answers={"past_loads": key})
    assert heard.questions == ()
    return lines.do_act(log, heard, now=clock.now)


# What one weighs, and how surely


def measured(text: str):
    setting = setting_of(parse_description(BIG, machine_zone="UTC"))
    return read_line(text, now=NOW, setting=setting).act


def test_a_box_of_counted_pieces_is_said_with_its_spread_as_the_screen_says_it(log, clock):
    setting = lines.with_names(log, lines.setting_now(log), "box = 22 splits from now")
    heard = read_line("box = 22 splits from now", now=clock.now, setting=setting)
    assert lines.act_text(heard).startswith("1 box = 22 splits = 19.8 kg, 9 in 10 between 17 and 22 kg")


def test_the_spread_of_counted_pieces_is_what_boxes_filled_at_random_show():
    """Against boxes drawn one by one: each piece off by itself, the count off for the whole box."""
    rng = np.random.default_rng(7)
    counts = 22.0 * (1.0 + COUNTING_SD * rng.standard_normal(40_000))
    boxes = [np.sum(0.9 * (1.0 + PIECE_SD * rng.standard_normal(22))) * n / 22.0 for n in counts]
    assert measured("box = 22 splits").sd_kg == pytest.approx(np.std(boxes), rel=0.02)


def test_pieces_even_out_and_a_scale_does_not():
    one, many = measured("armful = 1 split"), measured("box = 64 splits")
    assert many.sd_kg / many.kg < 0.25 * one.sd_kg / one.kg
    assert measured("box = 19 kg").sd_kg == pytest.approx(19.0 * SCALE_SD)
    assert measured("box = 38 kg").sd_kg == pytest.approx(38.0 * SCALE_SD)


def test_one_piece_weighed_still_differs_from_the_next():
    log_of_wood = measured("1 stick = 0.5 kg")
    assert log_of_wood.sd_kg / log_of_wood.kg == pytest.approx(0.30, abs=0.01)


def test_pieces_weighed_once_scatter_in_a_box_as_described_ones_do(log, clock):
    write(log, clock, "stick = 0.9 kg")
    write(log, clock, "bundle = 22 sticks")
    assert own_measures.own_measures(log)["bundle"].sd_kg == pytest.approx(1.6075)


def test_a_measure_told_in_another_one_takes_over_its_spread(log, clock):
    write(log, clock, "crate = 20 kg")
    write(log, clock, "sledge = 3 crates")
    kept = own_measures.own_measures(log)
    assert (kept["sledge"].kg, kept["sledge"].sd_kg) == (60.0, pytest.approx(3 * 20.0 * SCALE_SD))


def test_a_measure_told_in_itself_is_refused(log, clock):
    with pytest.raises(EntryError, match="can't be told in box itself"):
        write(log, clock, "box = 2 boxes")


def test_what_was_kept_holds_the_spread_and_how_it_was_said(log, clock):
    write(log, clock, "box = 22 splits from now")
    kept = json.loads(log.setting("own_words"))["box"]
    # By hand: 22 pieces of 0.9 kg ± 30 %, and 5 % of 19.8 kg: sqrt(22 * 0.27² + 0.99²) = 1.6075.
    assert kept == {"kg": 19.8, "sd_kg": 1.6075, "as_said": "22 splits", "former_kg": [16.0]}
    assert lines.setting_now(log).own_words_sd_kg == (("box", 1.6075),)


def test_what_a_measure_was_said_to_be_stays_in_the_owners_letters(log, clock):
    write(log, clock, "Sack = 4 M 1 L  from now")
    assert json.loads(log.setting("own_words"))["sack"]["as_said"] == "4 M 1 L"


def test_the_plain_weights_of_older_logs_still_read(log, clock):
    log.set_setting("own_words", '{"armful": 5.5, "box": 16}')
    assert lines.setting_now(log).own_words == (("armful", 5.5), ("box", 16.0))
    assert lines.setting_now(log).own_words_sd_kg == ()
    write(log, clock, "box = 22 splits from 9 jan")
    assert loads(log) == AFTER
    assert own_measures.own_measures(log)["armful"].kg == 5.5


# Past loads


def test_a_new_weight_asks_in_the_words_of_the_screen(log, clock):
    with pytest.raises(EntryError) as refused:
        write(log, clock, "box = 22 splits")
    first, second = str(refused.value).splitlines()
    assert first == ASKED
    assert "add --yes to take it as: from now on, past loads stay as they are" in second
    assert loads(log) == BEFORE
    assert lines.setting_now(log).own_words == (("box", 16.0),)


def test_yes_in_a_script_leaves_the_past_as_it_is(log, clock):
    noted = write(log, clock, "box = 22 splits", yes=True)
    assert noted.sentence == "1 box = 22 splits = 19.8 kg, 9 in 10 between 17 and 22 kg, from now on."
    assert noted.warnings == (ASKED,)
    assert loads(log) == BEFORE
    write(log, clock, "1 box")
    assert loads(log)[-1] == 19.8


def test_enter_changes_past_loads_and_one_undo_takes_all_back(log, clock):
    noted = answer(log, clock, "box = 22 splits", "enter")
    assert noted.sentence == (
        "1 box = 22 splits = 19.8 kg, 9 in 10 between 17 and 22 kg. 6 boxes since 9 Jan: 119 kg, were 96 kg."
    )
    assert loads(log) == AFTER
    edits = [log.find(i) for i in noted.event_ids]
    assert {e.act for e in edits} == {Act.EDIT}
    assert len({e.batch for e in edits}) == 1
    undone = lines.undo(log, now=clock.now)
    assert undone.sentence == "Taken back: 4 entries; 1 box is 16.0 kg again, not 19.8 kg"
    assert loads(log) == BEFORE
    assert lines.setting_now(log).own_words == (("box", 16.0),)
    lines.redo(log, now=clock.now)
    assert loads(log) == AFTER
    assert lines.setting_now(log).own_words == (("box", 19.8),)


def test_what_was_written_stays_as_typed(log, clock):
    before = [(e.line, e.typed, e.at_typed, e.how) for e in log.current_entries()]
    answer(log, clock, "box = 22 splits", "enter")
    assert [(e.line, e.typed, e.at_typed, e.how) for e in log.current_entries()] == before
    assert [e.pieces for e in log.entries()][:2] == ["2 box", "1 box 1 M"]


def test_n_changes_the_weight_alone_and_is_one_undo_too(log, clock):
    answer(log, clock, "box = 22 splits", "n")
    assert loads(log) == BEFORE
    assert lines.undo(log, now=clock.now).sentence == "Taken back: 1 box is 16.0 kg again, not 19.8 kg"
    assert (loads(log), lines.setting_now(log).own_words) == (BEFORE, (("box", 16.0),))


def test_after_n_the_past_can_still_be_changed(log, clock):
    answer(log, clock, "box = 22 splits", "n")
    with pytest.raises(EntryError, match="6 boxes since 9 Jan were 96 kg, become 119 kg"):
        write(log, clock, "box = 22 splits")
    answer(log, clock, "box = 22 splits", "enter")
    assert loads(log) == AFTER
    write(log, clock, "box = 22 splits")  # all is as it says: nothing to ask


@pytest.mark.parametrize(
    ("since", "changed"),
    [
        ("from 11 jan", 2),
        ("since 2026-01-11", 2),
        ("from 11 jan 18:01", 1),
        ("since 9 jan", 4),
        ("from now", 0),
    ],
)
def test_a_date_in_the_line_says_from_when_and_asks_nothing(since, changed, log, clock):
    write(log, clock, f"box = 22 splits {since}")
    assert sum(a != b for a, b in zip(loads(log), BEFORE, strict=True)) == changed
    assert lines.setting_now(log).own_words == (("box", 19.8),)


@pytest.mark.parametrize("since", ["from tomorrow", "from the shed", "since 30 feb"])
def test_a_date_that_cannot_be_keeps_nothing(since, log, clock):
    with pytest.raises(EntryError):
        write(log, clock, f"box = 22 splits {since}")
    assert lines.setting_now(log).own_words == (("box", 16.0),)


@pytest.mark.parametrize("word", ["Box", "BOXES", "boxes", "1 Box", "a box"])
def test_case_and_plural_are_the_same_measure(word, log, clock):
    write(log, clock, f"{word} = 22 splits from 9 jan")
    assert lines.setting_now(log).own_words == (("box", 19.8),)
    assert loads(log) == AFTER


def test_a_word_never_counted_in_asks_nothing(log, clock):
    assert write(log, clock, "crate = 10 kg").warnings == ()
    noted = write(log, clock, "crate = 12 kg")
    assert (noted.warnings, noted.event_ids) == ((), ())
    # "boxcar" and "box" share letters, not loads.
    assert write(log, clock, "bo = 12 kg").warnings == ()


def test_the_size_of_a_piece_changes_past_loads_the_same_way(log, clock):
    with pytest.raises(EntryError, match=r"4 M since 10 Jan were 6\.4 kg, become 8\.0 kg"):
        write(log, clock, "M = 2 kg")
    write(log, clock, "M = 2 kg from 10 jan")
    assert loads(log) == [32.0, 18.0, 32.0, 16.0, 16.0, 6.0]


def test_an_imported_load_counts_when_its_weight_comes_from_the_count(log, clock):
    for kg in (16.0, 21.0):  # one reckoned, one weighed: only the sum tells
        new = NewEvent(entry=Entry(at=NOW.astimezone(UTC), pieces="1 box", load_kg=kg), how=How.IMPORTED)
        log.add([new])
    answer(log, clock, "box = 22 splits", "enter")
    assert loads(log)[-2:] == [19.8, 21.0]


def test_the_same_again_follows_the_load_it_repeated(log, clock):
    log.add(
        [
            NewEvent(
                entry=Entry(at=NOW.astimezone(UTC), pieces="2 box", load_kg=32.0),
                typed=(Typed("load_kg", "same", "same"),),
            )
        ]
    )
    answer(log, clock, "box = 22 splits", "enter")
    assert loads(log)[-1] == 39.6


def test_the_stoves_limit_is_flagged_anew(log, clock):
    answer(log, clock, "box = 23 kg", "enter")
    assert [Flag.OVER_LIMIT in e.flags for e in log.entries()] == [True, False, True, False, False, False]
    answer(log, clock, "box = 22 kg", "enter")
    assert not any(Flag.OVER_LIMIT in e.flags for e in log.entries())


def test_a_count_in_a_line_is_enough_where_the_weight_it_was_reckoned_by_is_lost(log, clock):
    log.set_setting("own_words", '{"box": 11}')  # an older log keeps the last weight alone
    answer(log, clock, "box = 22 splits", "enter")
    assert loads(log) == AFTER


def test_a_piece_weighed_anew_since_does_not_shift_what_is_beside_it(log, clock):
    log.add_description(parse_description(BIG.replace("M = 1.6", "M = 1.7"), machine_zone="UTC"))
    answer(log, clock, "box = 22 splits", "enter")
    assert loads(log) == AFTER


def test_a_weight_no_load_can_have_is_refused(log, clock):
    with pytest.raises(EntryError, match=r"2 boxes on 9 Jan would be a load of 380\.0 kg"):
        write(log, clock, "box = 190 kg")


def test_stacks_put_up_in_boxes_stay_and_are_named(log, clock):
    write(log, clock, "stack birch 20 boxes")
    stacks = [e.matter for e in log.matters()]
    noted = answer(log, clock, "box = 22 splits", "enter")
    assert noted.sentence.endswith("Put up by the box and left as written: birch (20 boxes).")
    assert [e.matter for e in log.matters()] == stacks
    assert "left as written" not in write(log, clock, "crate = 3 kg").sentence


def test_another_year_is_named(log, clock):
    clock.now = NOW + timedelta(days=365)
    with pytest.raises(EntryError, match="6 boxes since 9 Jan 2026 were"):
        write(log, clock, "box = 22 splits")


def test_pounds_are_said_to_those_who_weigh_in_pounds(log, clock):
    text = BIG + '[units]\nmass = "lb"\n'
    log.add_description(parse_description(text, machine_zone="UTC"))
    with pytest.raises(EntryError, match="were 212 lb, become 262 lb"):  # 96 and 118.8 kg by 2.20462
        write(log, clock, "box = 22 splits")


# In the app


class Keys:
    """The pure session on the real desk, key by key."""

    def __init__(self, path: Path) -> None:
        self.desk = AppDesk(place_of(str(path)), at=NOW)
        self.session = Session(self.desk)
        self.at = 0.0

    def press(self, *keys: str) -> Keys:
        for key in keys:
            self.at += 2.0
            character = " " if key == "space" else key if len(key) == 1 else None
            self.session.press(key, character, self.at)
        return self

    def write(self, text: str) -> Keys:
        return self.press("space", *("space" if sign == " " else sign for sign in text))

    @property
    def text(self) -> str:
        return " ".join(" ".join(text_of(row) for row in self.session.rows()).split())

    def loads(self) -> list[float | None]:
        with self.desk.place.open() as log:
            return loads(log)


@pytest.fixture
def keys(path: Path) -> Iterator[Keys]:
    opened = Keys(path)
    yield opened
    opened.desk.close()


def test_task_7_in_the_app_asks_and_enter_changes_the_past(keys):
    keys.write("box = 22 splits").press("enter")
    assert f"asks {ASKED}" in keys.text
    assert keys.loads() == BEFORE
    keys.press("enter")
    assert "saved 1 box = 22 splits = 19.8 kg, 9 in 10 between 17 and 22 kg." in keys.text
    assert keys.loads() == AFTER
    keys.press("u")
    assert keys.loads() == BEFORE
    assert "back Taken back: 4 entries; 1 box is 16.0 kg again, not 19.8 kg" in keys.text


def test_task_7_in_the_app_n_is_from_now(keys):
    keys.write("box = 22 splits").press("enter", "n")
    assert "9 in 10 between 17 and 22 kg, from now on." in keys.text
    assert keys.loads() == BEFORE
    assert not keys.session.line.is_open


def test_a_question_left_with_escape_keeps_nothing(keys):
    keys.write("box = 22 splits").press("enter", "escape")
    assert keys.session.line.text == "box = 22 splits"
    assert keys.loads() == BEFORE


def test_a_first_weight_reads_at_once(keys):
    heard = keys.desk.read("crate = 22 splits")
    assert heard.standing is Standing.READS
    assert heard.sentence == "1 crate = 22 splits = 19.8 kg, 9 in 10 between 17 and 22 kg, from now on"
