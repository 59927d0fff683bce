"""First evening and description line by line, and nights left out; on a fake desk and on a real log."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from fake_desk import FakeDesk
from test_plain_talk import Sitting

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.ui.keys import KEYS
from logbook.ui.plain_talk import PlainTalk


class First(Sitting):
    """A sitting with nothing described."""

    def __init__(self) -> None:
        super().__init__(FakeDesk(new=True))


def test_a_new_log_says_what_to_type_and_still_takes_lines() -> None:
    sitting = First()
    assert any("Type first: three numbers" in said for said in sitting.heard)
    sitting.says("-9/18")
    assert sitting.desk.kept == ["-9/18"]


def test_three_numbers_and_done_give_a_description() -> None:
    sitting = First()
    said = sitting.says("first")
    assert said[-1].startswith("must: My cabin has (empty) m") and any(
        "3 numbers are needed" in s for s in said
    )
    assert sitting.says("28")[-1].startswith("must:")
    sitting.says("75", "8")
    said = sitting.says("done")
    assert said[0].startswith("saved: Kept.") and said[-1] == "Type tonight for the first suggestion."
    assert {n: sitting.desk.begun[n] for n in ("floor", "volume", "limit")} == {
        "floor": "28", "volume": "75", "limit": "8",
    }  # fmt: skip


def test_what_the_numbers_say_already_is_told_once_they_are_enough_and_not_twice() -> None:
    sitting = First()
    sitting.says("first", "28", "75")
    said = sitting.says("8")
    assert any(s.startswith("so far: No fire and minus 10 °C out") for s in said)
    assert not [s for s in sitting.says("", "") if s.startswith("so far")]
    assert sitting.desk.slow_calls == ["so far"]


def test_a_wrong_number_is_said_and_asked_again() -> None:
    sitting = First()
    sitting.says("first")
    said = sitting.says("2800")
    assert said[0].startswith("stop: 2800 is outside 2 to 500") and said[-1].startswith(
        "must: My cabin has 2800"
    )


def test_done_with_a_number_missing_asks_for_it() -> None:
    sitting = First()
    said = sitting.says("first", "28", "done")
    assert "stop: This number is needed; the others may stay empty." in said
    assert said[-1].startswith("must:") and not sitting.desk.begun


def test_enter_leaves_it_as_it_stands_and_the_last_enter_keeps_it_all() -> None:
    sitting = First()
    sitting.says("first", "28", "75", "8")
    said: list[str] = []
    for _ in range(20):
        if not sitting.talk._blanks.asking:
            break
        said = sitting.says("")
    assert said[0].startswith("saved: Kept.")
    assert "lever" not in sitting.desk.begun, "what nobody said must not be taken as said"


def test_back_why_and_a_choice_by_its_word() -> None:
    sitting = First()
    sitting.says("first", "28", "75", "8")
    said = sitting.says("why")
    assert len(said) >= 2 and said[-1].startswith("One of: how far OPEN, how far CLOSED")
    sitting.says("closed")
    assert sitting.desk.first_kept["lever"] == "how far CLOSED"
    assert sitting.says("back")[0].startswith("may: Its air lever tells how far CLOSED")


def test_later_keeps_what_is_filled_in_and_first_goes_on() -> None:
    sitting = First()
    sitting.says("first", "28", "later")
    assert sitting.desk.first_kept["floor"] == "28"
    sitting.says("-9/18")
    assert sitting.desk.kept == ["-9/18"], "lines are lines again"
    assert sitting.says("first")[-1].startswith("must: and (empty)")


def test_a_pipe_that_ends_in_the_middle_loses_nothing() -> None:
    sitting = First()
    sitting.says("first", "28")
    sitting.talk.end()
    assert sitting.desk.first_kept["floor"] == "28"


@pytest.mark.parametrize("word", ["!", "emergency"])
def test_the_emergency_page_is_never_out_of_reach(word: str) -> None:
    sitting = First()
    sitting.says("first")
    assert sitting.says(word)[0].startswith("1   OUT, everybody")
    assert sitting.talk._blanks.asking


def test_quit_in_the_middle_puts_it_off() -> None:
    sitting = First()
    sitting.says("first", "28", "quit")
    assert sitting.talk.done and sitting.desk.first_kept["floor"] == "28"


def test_first_with_a_description_says_what_changes_it() -> None:
    assert "describe 2 30 changes blank 2" in Sitting().says("first")[-1]


# Description


def test_describe_reads_every_blank_by_number_in_words() -> None:
    sitting = Sitting()
    said = sitting.says("describe")
    assert said[1].startswith("2: My cabin has 28 m²") or any("My cabin has 28" in s for s in said)
    assert len(said) == len(sitting.desk.blanks()) + 1
    assert not [s for s in said if "−" in s]


def number_of(sitting: Sitting, name: str) -> int:
    return next(n for n, blank in enumerate(sitting.desk.blanks(), start=1) if blank.name == name)


def test_describe_with_a_number_tells_why_and_with_a_value_changes_it() -> None:
    sitting = Sitting()
    floor = number_of(sitting, "floor")
    assert any(f"describe {floor} and a value changes it" in s for s in sitting.says(f"describe {floor}"))
    said = sitting.says(f"describe {floor} 29")
    assert said[0].startswith("saved:") and any(s.startswith("Heat loss by the description") for s in said)
    assert sitting.desk.kept == ["blank ('floor', '29')"]
    sitting.says("undo")
    assert sitting.desk.kept == []


def test_a_value_that_cannot_be_changes_nothing() -> None:
    sitting = Sitting()
    said = sitting.says(f"describe {number_of(sitting, 'floor')} 2800")
    assert said[0].startswith("stop: 2800 is outside") and said[-1] == "Nothing was changed."
    assert sitting.desk.kept == []


@pytest.mark.parametrize("line", ["describe 99", "describe 0", "describe 99 3"])
def test_a_number_that_is_none_says_how_many_there_are(line: str) -> None:
    assert Sitting().says(line)[0].startswith("stop: There are ")


def test_nothing_described_has_nothing_to_read() -> None:
    assert First().says("describe")[0].startswith("Nothing is described yet.")


def test_from_nothing_to_a_description_and_a_change_on_a_real_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "UTC")
    monkeypatch.setattr("logbook.actions.first_evening.so_far", lambda *_, **__: None)  # seconds of a fit
    monkeypatch.setattr("logbook.actions.own_desk.OwnPages.effect", lambda *_: None)
    desk = AppDesk(Place(tmp_path / "cabin.db"), at=datetime(2026, 1, 16, 20, 40, tzinfo=UTC))
    heard: list[str] = []
    talk = PlainTalk(desk, say=heard.append)
    talk.begin()
    for line in ("first", "28", "75", "8", "open", "done"):
        talk.hear(line)
    described = desk.description()
    assert described is not None and described.cabin.floor_m2 == 28 and described.stove.max_load_kg == 8
    assert desk._log().setting("air_lever_reads") == "open"
    number = next(n for n, blank in enumerate(desk.blanks(), start=1) if blank.name == "limit")
    talk.hear(f"describe {number} 7")
    changed = desk.description()
    assert changed is not None and changed.stove.max_load_kg == 7
    talk.hear("undo")
    back = desk.description()
    assert back is not None and back.stove.max_load_kg == 8
    desk.close()


# Nights left out, going, paper


def test_a_night_is_left_out_of_learning_and_used_again_by_its_number() -> None:
    sitting = Sitting()
    sitting.says("nights")
    assert sitting.says("leave out 2")[0].startswith("saved:")
    assert len(sitting.desk.left_out()) == 1
    assert any("Left out of learning." in said for said in sitting.says("night 2"))
    sitting.says("use 2")
    assert sitting.desk.left_out() == ()
    assert sitting.says("leave out 99")[-1] == "stop: There are 8 nights."


def test_g_says_what_to_know_before_leaving() -> None:
    said = Sitting().says("g")
    assert any(s.startswith("Reckoning") for s in said) and any(
        s.startswith("0 °C in 14 h to 25 h") for s in said
    )
    assert any("Coals give carbon monoxide" in s for s in said) and said[0].startswith("leaving: 9 lines")


def test_paper_says_how_a_sheet_goes_in_line_by_line() -> None:
    assert "fri 17:40" in Sitting().says("paper")[0]


def test_every_page_of_the_key_table_can_be_read_line_by_line() -> None:
    for key in KEYS:
        if key.act is not None and key.act.name == "page" and key.words:
            said = "\n".join(Sitting().says(key.words[0]))
            assert "can't be read line by line" not in said, key.words
