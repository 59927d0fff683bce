"""Line by line: what is typed, what is said, what is in the log; for the ear, so no sign is left to guess."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from pathlib import Path

import pytest
from fake_desk import FakeDesk

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.cli import main
from logbook.demo import write_demo
from logbook.errors import LogbookError
from logbook.results.app import EmergencyPage
from logbook.store.log import open_log
from logbook.ui.keys import KEYS
from logbook.ui.plain_talk import PlainTalk
from logbook.ui.plain_words import sentences, spoken


class Sitting:
    """A desk, a talk on it, and what was said since last asked."""

    def __init__(self, desk: FakeDesk | None = None) -> None:
        self.desk = desk or FakeDesk()
        self.heard: list[str] = []
        leave = lambda: ("! Coals glow.", "1. Go.")  # noqa: E731 - a row of data
        self.talk = PlainTalk(self.desk, say=self.heard.append, others={"leave": leave})
        self.talk.begin()

    def says(self, *typed: str) -> list[str]:
        self.heard.clear()
        for line in typed:
            self.talk.hear(line)
        return list(self.heard)


class RefusesEdits(FakeDesk):
    """As of a line that another window changed meanwhile."""

    def edit(self, event_id, heard):
        raise LogbookError("That line was changed meanwhile.\nLook at it again.")


# A line


def test_after_a_change_that_was_refused_the_next_line_is_a_line_of_its_own():
    """It was put in the place of the line that could not be changed: a reading of another hour lost."""
    sitting = Sitting(RefusesEdits())
    assert sitting.says("edit 1 -12/17")[0].startswith("stop: That line was changed")
    assert sitting.says("-11/18") == ["saved: 21:40 -11/18"]
    assert sitting.desk.kept == ["-11/18"]


def test_a_line_is_kept_and_said_back():
    sitting = Sitting()
    assert sitting.says("-11/18 4m 1/4") == ["saved: 21:40 -11/18 4m 1/4"]
    assert sitting.desk.kept == ["-11/18 4m 1/4"]
    assert sitting.says("undo")[0].startswith("back: taken back: -11/18 4m 1/4.")
    assert sitting.desk.kept == []
    assert sitting.says("r") == ["back: brought back: -11/18 4m 1/4"]


def test_a_question_is_asked_and_its_answer_kept():
    sitting = Sitting()
    said = sitting.says("-9/65")
    assert said[0] == "asks: 65 inside is 65 °C." and "Enter alone" in said[-1] and sitting.desk.kept == []
    assert sitting.says("c")[0].startswith("saved:")
    assert sitting.desk.kept == ["-9/65C"]


def test_enter_alone_answers_what_is_offered():
    sitting = Sitting()
    sitting.says("-9/65", "")
    assert sitting.desk.kept == ["-9/65F"]


def test_what_does_not_answer_leaves_the_question_standing_and_is_told_as_lost():
    sitting = Sitting()
    said = sitting.says("-9/65", "0")
    assert 'The question still stands; "0" is not kept.' in said
    assert sitting.desk.kept == [] and sitting.talk.lost == ["0"]
    sitting.says("aside")
    assert sitting.talk.lost == ["0", "-9/65"]
    sitting.says("-9/18")
    assert sitting.desk.kept == ["-9/18"]


def test_emergency_is_read_even_while_a_question_stands():
    sitting = Sitting()
    said = sitting.says("-9/65", "!", "c")
    assert "1   OUT, everybody, now.  K  J  and guests.  Do not look for the cause." in said
    assert sitting.desk.kept == ["-9/65C"]


def test_a_line_that_cannot_be_read_is_refused_with_what_to_do():
    sitting = Sitting()
    said = sitting.says("4x")
    assert said[0] == 'stop: "4x" is not a piece size.' and said[-1] == "Nothing is kept of it."
    assert sitting.talk.lost == ["4x"]


def test_a_full_disk_is_said_and_the_line_can_be_typed_again():
    sitting = Sitting()
    sitting.desk.broken = True
    assert sitting.says("-9/18")[0].startswith("stop: The disk is full")
    sitting.says("-9/65")
    assert sitting.says("c")[0].startswith("stop: The disk is full")
    sitting.desk.broken = False
    sitting.says("c")
    assert sitting.desk.kept == ["-9/65C"], "the question was answered again, nothing retyped"


def test_a_stray_enter_keeps_nothing():
    sitting = Sitting()
    sitting.says("", "", "   ")
    assert sitting.desk.kept == []


# Letters and words: the app's own table


def test_the_letters_of_the_app_are_lines_here():
    sitting = Sitting()
    sitting.says("k", "d", "j", "o", "b", "w")
    assert sitting.desk.kept == ["alarms ok", "air 1/4", "same", "window cracked", "bed", "woke"]
    sitting.says("o")
    assert sitting.desk.kept[-1] == "window shut"


def test_what_waits_is_said_first_and_once():
    sitting = Sitting()
    first = [s for s in sitting.heard if s.startswith("first: Alarms not tested this stay")]
    assert len(first) == 1
    assert not [s for s in sitting.says("-9/18") if "Alarms" in s]
    assert sitting.says("tonight")[0].startswith("first: Alarms not tested")


def test_nothing_waiting_is_said_rather_than_recorded():
    sitting = Sitting()
    sitting.says("d")
    assert sitting.says("d") == ["Nothing waits that d would settle."]
    assert sitting.says("x") == ["Nothing waits that could be skipped."]
    assert sitting.desk.kept == ["air 1/4"]


def test_every_word_of_the_table_is_understood_or_said_to_be_the_screens():
    for key in KEYS:
        for word in key.words:
            sitting = Sitting()
            said = sitting.says(word)
            assert said or sitting.talk.done, word
            if word not in ("same", "turned down", "skip"):  # these record
                assert sitting.desk.kept == [], f"{word} was kept as a line"


def test_help_tells_every_act_that_works_here():
    sitting = Sitting()
    said = "\n".join(sitting.says("help"))
    for key in KEYS:
        if key.act and key.act.name in sitting.talk.doing() and key.words:
            assert key.words[0] in said
    assert "-12/18: outside/inside." in said and "leave:" in said


def test_help_tells_of_a_command_that_answers_here_once():
    """It said that leave is the list, and that it is the command of that name."""
    told = [word for row in Sitting().says("help") for word in row.partition(":")[0].split(" or ")]
    assert told.count("leave") == 1 and "leaving" in told


def test_a_what_if_is_answered_and_not_kept_as_in_the_app():
    """It was kept as a note."""
    sitting = Sitting()
    said = sitting.says("what if roof +100mm batt")
    assert said[1].startswith("roof +100mm batt: heat loss 10 % less (16 % less to 5 % less).")
    assert any(row.startswith("Wood for a weekend: 41.2 kg now") for row in said)
    assert sitting.says("What if roof +90mm fluff")[-2].startswith("stop: 'fluff' is no material known here.")
    assert sitting.desk.kept == [] and any(row.startswith("what if ") for row in sitting.says("help"))


# Answers


def test_tonights_choices_are_numbered_and_a_number_waits_for_enter():
    sitting = Sitting()
    said = sitting.says("tonight")
    assert said.count("Reckoning; this can take a minute.") == 1
    second = next(s for s in said if s.startswith("2: "))
    assert second.startswith("2: 1 M 1 L (4.4 kg) at 22:30, air 1/4 open (3/4 closed)")
    assert any(s.startswith("1: ") and s.endswith("UNTRIED here.") for s in said)
    assert any(s.startswith("5: No more wood") for s in said), "no fire is always a choice"
    offered = sitting.says("2")
    assert sitting.desk.kept == [] and '"1M 1L air 1/4"' in offered[0]
    sitting.says("")
    assert sitting.desk.kept == ["1M 1L air 1/4"]


def test_a_number_let_go_is_not_kept():
    sitting = Sitting()
    sitting.says("tonight", "2", "-9/18", "")
    assert sitting.desk.kept == ["-9/18"]


def test_no_fire_puts_nothing_into_the_line():
    sitting = Sitting()
    sitting.says("tonight", "5", "")
    assert sitting.desk.kept == []


def test_a_number_is_a_reading_while_no_choices_were_read():
    sitting = Sitting()
    sitting.says("2")
    assert sitting.desk.kept == ["2"]


def test_why_and_try():
    sitting = Sitting()
    assert any("rests on 5 nights" in s for s in sitting.says("why 2"))
    assert sitting.says("try 2m air 1/3")[-1] == "Nothing is kept of it."
    assert sitting.says("try nothing")[0] == 'stop: "nothing" holds no load.'
    assert sitting.desk.kept == []


def test_nights_are_read_eight_at_a_time_and_opened():
    sitting = Sitting()
    said = sitting.says("nights")
    assert said[1].startswith("8 nights told beforehand")
    assert next(s for s in said if s.startswith("3: ")).startswith("3: Sun 4 Jan: no fire")
    opened = sitting.says("night 1")
    assert "22:30 2 M birch (3.2 kg), air 1/3 open (2/3 closed)" in opened
    assert sitting.says("night 99") == ["stop: There are 8 nights."]


def test_the_stays_lines_are_numbered_mended_and_left_out():
    sitting = Sitting()
    assert sitting.says("lines")[0] == "1: 21:30 inside 19.5 °C, outside minus 9 °C"
    sitting.says("edit 2 2m 1/3")
    sitting.says("remove 1")
    assert sitting.desk.kept == ["change old-1: 2m 1/3", "remove old-0"]
    assert sitting.says("remove 77")[0].startswith("stop: There is no line 77")


def test_the_emergency_page_is_read_as_written():
    page = EmergencyPage(lines=("1   OUT − now", "", "  CALL 112"))
    assert Sitting(FakeDesk(owner_page=page)).says("e") == ["1   OUT − now", "CALL 112"]


def test_other_commands_are_read_row_by_row():
    assert Sitting().says("leave")[1:] == ["caution: Coals glow.", "1. Go."]


# Start and end


def test_a_half_typed_line_is_offered_and_kept_again_when_it_was_not_taken():
    desk = FakeDesk(drafted="-9/18")
    sitting = Sitting(desk)
    assert any('"-9/18"' in s for s in sitting.heard)
    sitting.talk.end()
    assert desk.drafted == "-9/18"
    again = Sitting(desk)
    again.says("")
    again.talk.end()
    assert (desk.kept, desk.drafted) == (["-9/18"], "")


def test_an_open_question_at_the_end_is_kept_for_next_time():
    sitting = Sitting()
    sitting.says("-9/65")
    sitting.talk.end()
    assert sitting.desk.drafted == "-9/65" and sitting.talk.lost == ["-9/65"]


# For the ear

SPOKEN = [  # as on the screen, as said
    ("−9 °C", "minus 9 °C"),
    ("13–20 °C", "13 to 20 °C"),
    ("−13 to −9 °C", "minus 13 to minus 9 °C"),
    ("Fri 16 Jan – later…", "Fri 16 Jan - later..."),
    ("! Leave the flue open.", "caution: Leave the flue open."),
]


@pytest.mark.parametrize(("shown", "said"), SPOKEN)
def test_signs_are_said_as_words(shown, said):
    assert spoken(shown) == said


def test_one_sentence_to_a_line():
    assert list(sentences("Peak 21.5 °C. Set a timer. 1.5 kg went in.")) == [
        "Peak 21.5 °C.", "Set a timer.", "1.5 kg went in."]  # fmt: skip


DRAWN = re.compile(r"[\u2190-\u21ff\u2500-\u25ff\u2800-\u28ff\x1b\x08\r−–]")
"""Arrows, boxes, blocks, braille, cursor movement, and signs a reader passes over."""


def test_nothing_is_drawn():
    sitting = Sitting()
    said = sitting.says("now", "tonight", "why 1", "nights", "night 4", "more", "lines", "help", "leave")
    drawn = [s for s in said if DRAWN.search(s)]
    assert len(said) > 80 and not drawn
    assert not [s for s in said if "\n" in s or "  " in s]


# The real thing, piped


def run(log: Path, typed: str, tmp_path: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "logbook", "--plain", "--log", str(log)],
        input=typed, capture_output=True, text=True, encoding="utf-8", timeout=60, check=False,
        env={"PATH": "/usr/bin:/bin", "HOME": str(tmp_path), "PYTHONIOENCODING": "utf-8", "LANG": "C.UTF-8"},
    )  # fmt: skip


def test_a_pipe_writes_the_log_and_says_so_by_its_exit_code(tmp_path):
    log = tmp_path / "demo.db"
    write_demo(log)
    got = run(log, "last night 11 out -9\nbox = 5 kg\nquit\nnever read\n", tmp_path)
    assert got.returncode == 0, got.stderr
    assert "saved: 1 box = 5.0 kg, 9 in 10 between 4.8 and 5.2 kg, from now on." in got.stdout.splitlines()
    assert "line:" not in got.stdout, "a prompt is for who types"
    with open_log(log, create=False) as kept:
        assert kept.latest(1)[0].entry.outdoor_c == -9.0
    refused = run(log, "25:10 in 18\n", tmp_path)
    assert refused.returncode == 1 and "stop:" in refused.stdout


def test_the_command_is_there_by_both_names(monkeypatch, capsys, tmp_path):
    for words in (["--plain"], ["plain"]):
        monkeypatch.setattr(sys, "stdin", io.StringIO("quit\n"))
        assert main(["--log", str(tmp_path / "log.db"), *words]) == 0
        assert capsys.readouterr().out.startswith("Nightload, line by line.")


def test_paper_names_the_command_that_prints_as_there_is_no_page_here():
    said = " ".join(Sitting().says("p"))
    assert "nightload sheet" in said and "print here" in said


def test_numbers_of_lines_hold_as_they_were_read_though_lines_were_written_since(tmp_path: Path):
    """The newest is number one: after a further line "remove 2" took another than the one that was heard."""
    desk = AppDesk(Place(tmp_path / "new.db"))
    heard: list[str] = []
    talk = PlainTalk(desk, say=heard.append)

    def says(*typed: str) -> list[str]:
        heard.clear()
        for line in typed:
            talk.hear(line)
        return list(heard)

    says("note one", "note two", "lines", "note three")
    assert heard[-1].endswith("note three")
    assert says("remove 2")[0].endswith("note one")
    assert says("edit 1 note two again")[0].endswith("note two again")
    assert says("edit 1 note two at last")[0].endswith("note two at last"), "the same line once more"
    assert says("remove 2")[0].startswith("stop: Line 2 is not there any more")
    assert [line.typed for line in desk.latest(9)] == ["note three", "note two at last"]
    says("lines")
    assert says("remove 1")[0].endswith("note three")
    desk.close()
