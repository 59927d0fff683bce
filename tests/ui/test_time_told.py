"""A clock in doubt, in the app: the question is answered by the time itself, typed in the line's place."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from test_session import Keys

from logbook.actions import lines
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.description import parse_description
from logbook.ui.line import WritingLine

DESCRIPTION = (
    "site.timezone = 'Europe/Oslo'\ncabin.floor_m2 = 21\ncabin.volume_m3 = 55\nstove.max_load_kg = 9\n"
)
FRIDAY = datetime(2026, 1, 16, 12, 0, tzinfo=UTC)
"""13:00 at the cabin."""
DEAD_BATTERY = datetime(1980, 1, 1, 0, 3, tzinfo=UTC)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[AppDesk]:
    """A reading of Friday 13:00 in the log, and the laptop's clock back in 1980."""
    with Place(tmp_path / "log.db").open(create=True, now=lambda: FRIDAY) as log:
        log.add_description(parse_description(DESCRIPTION, machine_zone="UTC"))
        lines.note(log, "in 15", now=FRIDAY)
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: DEAD_BATTERY)
    desk = AppDesk(Place(tmp_path / "log.db"))
    yield desk
    desk.close()


def kept(desk: AppDesk) -> list[tuple[float | None, datetime]]:
    return [(line.entry.indoor_c, line.entry.at) for line in desk._log().current_entries() if line.entry]


def asked(desk: AppDesk, text: str = "18") -> Keys:
    keys = Keys(desk)  # type: ignore[arg-type] - the real one
    keys.write(text).press("enter")
    assert keys.row(3).startswith("   asks Computer says Tue 1 Jan 1980")
    return keys


def test_a_bare_time_answers_it_and_the_line_is_kept_then(desk: AppDesk) -> None:
    keys = asked(desk).write("14:30")
    assert keys.row(2) == "   time 14:30"
    assert keys.row(3).startswith("   asks Computer says"), "the question stays to be read"
    keys.press("enter")
    assert kept(desk)[1:] == [(18.0, datetime(2026, 1, 16, 13, 30, tzinfo=UTC))]
    assert keys.row(3).startswith("  saved Fri 16 Jan 2026 14:30: in 18.0")
    keys.write("17").press("enter")
    assert len(kept(desk)) == 3, "told once, the clock is right for as long as the app is open"


def test_a_whole_date_does_too(desk: AppDesk) -> None:
    asked(desk).write("18 jan 2026 07:15").press("enter")
    assert kept(desk)[1:] == [(18.0, datetime(2026, 1, 18, 6, 15, tzinfo=UTC))]


@pytest.mark.parametrize(
    ("told", "since"),
    [
        ("yesterday 18:00", "2026-01-15T17:00"),
        ("-20h", "2026-01-15T16:00"),
        ("9 jan 18:00", "2026-01-09T17:00"),
    ],
)
def test_since_when_a_change_holds_may_begin_with_a_word_or_a_sign(
    desk: AppDesk, monkeypatch: pytest.MonkeyPatch, told: str, since: str
) -> None:
    """Only digits did something: of "yesterday 18:00" the word was lost and 18:00 taken for the time."""
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: FRIDAY)
    keys = Keys(desk)  # type: ignore[arg-type] - the real one
    keys.write(" new gasket").press("enter")
    assert keys.row(3) == "   asks From now? Enter, or a time."
    keys.write(told)
    assert keys.row(2) == f"   time {told}"
    keys.press("enter")
    assert kept(desk)[1:] == [(None, datetime.fromisoformat(since).replace(tzinfo=UTC))]


def test_what_is_no_time_is_said_and_the_question_stands(desk: AppDesk) -> None:
    keys = asked(desk).write("99:99").press("enter")
    assert keys.row(3).startswith('   asks "99:99" is no time that can be. Computer says')
    assert keys.row(2) == "  write 18"
    assert len(kept(desk)) == 1
    keys.write("14:30").press("enter")
    assert len(kept(desk)) == 2


@pytest.mark.parametrize("back", [["escape"], ["backspace"] * 2])
def test_esc_and_an_empty_time_go_back_to_the_question(desk: AppDesk, back: list[str]) -> None:
    keys = asked(desk).write("14").press(*back)
    assert keys.row(2) == "  write 18"
    keys.press("enter")
    assert kept(desk)[1:] == [(18.0, DEAD_BATTERY.replace(minute=3))], "Enter alone is the computer's time"


def test_the_line_and_not_the_time_is_kept_for_next_time(desk: AppDesk) -> None:
    keys = asked(desk, "18 note mouse").write("14:3")
    keys.session.keep_draft()
    assert desk.draft() == "18 note mouse"


@pytest.mark.parametrize("clock", [DEAD_BATTERY, datetime(2025, 11, 26, 22, 37, tzinfo=UTC)])
@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_doubt_and_its_question_are_never_cut(
    desk: AppDesk, monkeypatch: pytest.MonkeyPatch, clock: datetime, width: int
) -> None:
    """Cut at 80 columns, "16 Jan 2026 13:00" read "16 Jan 20": a time of the evening."""
    monkeypatch.setattr("logbook.actions.desk.clock", lambda: clock)
    keys = Keys(desk)  # type: ignore[arg-type] - the real one
    keys.session.width = width
    assert "last line: Fri 16 Jan 2026 13:00." in shown(keys)
    if width == 120:
        assert "13:00. Set the clock, or type the time." in shown(keys)
    keys.write("18").press("enter")
    assert "Type the time it is, as 16 jan 2026 22:30" in shown(keys)
    keys.write("99:99").press("enter")
    assert "Type the time it is, as 16 jan 2026 22:30" in shown(keys)


def shown(keys: Keys) -> str:
    """The answer and what is first, as one text."""
    return " ".join(" ".join(keys.row(n)[8:] for n in (3, 4, 5)).split())


def test_a_question_that_takes_no_time_takes_no_digits() -> None:
    line = WritingLine()
    line.open_with("60")
    line.ask(("c", "enter"))
    assert line.press("1", "1", 0.0) == ()
    assert (line.text, line.aside) == ("60", None)
