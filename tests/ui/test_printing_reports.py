"""Reports printed from the app by keys alone, on a real log, written by a worker while keys go on."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from fake_desk import FakeDesk
from test_app import app_on, rows_of, settle
from test_copying import CABIN, NOW, Keys
from test_page_texts import finish, press
from test_printing import words_of

from logbook.actions import nights
from logbook.actions.desk import AppDesk, desk_for
from logbook.actions.opening import Place
from logbook.demo import write_demo
from logbook.errors import LogbookError
from logbook.heat import fit
from logbook.ui import paper
from logbook.ui.keys import KEYS
from logbook.ui.known import REPORT
from logbook.ui.session import Session

BEGUN = "later The report is being written."


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[AppDesk]:
    desk = AppDesk(Place(tmp_path / "oddwater.db"), at=NOW)
    desk._log().add_description(CABIN)
    for line in ("yesterday 17:40 -2/3 2s", "yesterday 22:30 bed", "7:00 -8/13", "19:10 i17 2M", "swept"):
        desk.keep(desk.read(line))
    yield desk
    desk.close()


@pytest.fixture
def no_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever learns or forecasts fails."""

    def never(*_: object, **__: object) -> None:
        raise AssertionError("a report from the app reckons nothing")

    monkeypatch.setattr(fit, "learn", never)
    monkeypatch.setattr(nights, "foreseen", never)


def asked(session: Session, name: str) -> None:
    """p, down to the report, Enter."""
    at = [n for n, _ in session.paper.choices()].index(REPORT + name)
    for key in ("p", *["down"] * at, "enter"):
        session.press(key, key if len(key) == 1 else None, 10.0)


def by_the_worker(session: Session) -> None:
    """What was asked for, done in a thread of its own as the app does it, and its answer brought."""
    for name, job in [task for task in session.take_jobs() if task[0].startswith(REPORT)]:
        came: list[object] = []

        def run(job=job, came=came) -> None:
            try:
                came.append(job(lambda said: None))
            except LogbookError as error:
                came.append(error)

        thread = threading.Thread(target=run)
        thread.start()
        thread.join()
        (result,) = came
        if isinstance(result, LogbookError):
            session.failed(name, str(result))
        else:
            session.arrived(name, result)


@pytest.mark.usefixtures("no_fit")
@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("stay", ("What was burned", "The nights", "13.0 °C", "4.8 kg of wood", "Oddwater")),
        ("season", ("Month by month", "Wood by stay", "Upkeep", "2025-12-07 flue", "Oddwater")),
    ],
)
def test_a_report_is_written_beside_the_log_and_where_is_said(
    desk: AppDesk, name: str, told: tuple[str, ...]
) -> None:
    keys = Keys(desk)
    asked(keys.session, name)
    path = desk.place.path.parent / f"oddwater {name} report.html"
    assert BEGUN in keys.rows()[3] and not path.exists()
    by_the_worker(keys.session)
    said = words_of(path)
    assert [words for words in told if words not in said] == []
    answer = "".join(row[8:] for row in keys.rows()[3:6]).replace(" ", "")
    assert keys.rows()[3].startswith("  sheet ") and f"Written:{path}".replace(" ", "") in answer
    assert keys.session.page == "paper", "another one may follow"
    assert not keys.session.known.stale and not keys.session.known.asked


@pytest.mark.parametrize("name", paper.REPORTS)
def test_without_a_stay_it_says_so_and_writes_nothing(tmp_path: Path, name: str) -> None:
    desk = AppDesk(Place(tmp_path / "new.db"), at=NOW)
    desk._log().add_description(CABIN)
    keys = Keys(desk)
    asked(keys.session, name)
    by_the_worker(keys.session)
    assert keys.rows()[3].startswith(f"   stop There is no {name} on record to report.")
    assert "begins with the first" in " ".join(keys.rows()[3:6]) and not list(tmp_path.glob("*.html"))
    assert not keys.session.known.troubles, "no page has it as its own trouble"
    desk.close()


@pytest.mark.parametrize("name", paper.REPORTS)
def test_a_folder_that_takes_no_file_is_said_with_a_command_that_works(desk: AppDesk, name: str) -> None:
    (desk.place.path.parent / f"oddwater {name} report.html").mkdir()
    keys = Keys(desk, width=120)
    asked(keys.session, name)
    by_the_worker(keys.session)
    said = " ".join(row[8:] for row in keys.rows()[3:6])
    assert f"oddwater {name} report.html can't be written beside the log" in said
    assert f"nightload report --{name} last --html FILE" in said


def test_both_can_be_asked_for_one_after_the_other(desk: AppDesk) -> None:
    keys = Keys(desk)
    asked(keys.session, "stay")
    asked(keys.session, "season")
    by_the_worker(keys.session)
    found = sorted(path.name for path in desk.place.path.parent.glob("*.html"))
    assert found == ["oddwater season report.html", "oddwater stay report.html"]


def test_a_line_being_written_is_not_talked_over() -> None:
    """The answer row tells what the line says; where the report went is told once the line is closed."""
    session = Session(FakeDesk())
    asked(session, "stay")
    jobs = session.take_jobs()
    session.press("escape", None, 12.0)
    for key in "-11/18":
        session.press(key, key, 14.0)
    reads = session.answer
    for name, job in jobs:
        session.arrived(name, job(lambda said: None))
    assert session.answer == reads and reads is not None
    session.tick()
    assert session.answer == reads
    session.press("escape", None, 16.0)
    assert session.answer is not None and "cabin stay report.html" in session.answer.sentence
    session.answer = None
    session.tick()
    assert session.answer is None, "said once"


def test_a_weekend_being_copied_in_is_not_talked_over() -> None:
    session = Session(FakeDesk())
    asked(session, "season")
    jobs = session.take_jobs()
    session.press("up", None, 12.0)
    session.choose_row(0)
    session.press("enter", None, 14.0)
    assert session.page == "copying"
    asks = session.answer
    for name, job in jobs:
        session.arrived(name, job(lambda said: None))
    assert session.answer == asks
    session.press("escape", None, 16.0)
    session.tick()
    assert session.answer is not None and "cabin season report.html" in session.answer.sentence


def test_of_a_log_with_nothing_in_it_the_refusal_is_one_line() -> None:
    session = Session(FakeDesk(empty=True))
    asked(session, "stay")
    with pytest.raises(LogbookError):
        finish(session)
    asked(session, "stay")
    by_the_worker(session)
    assert (
        session.answer is not None and session.answer.word == "stop" and "\n" not in session.answer.sentence
    )


async def test_in_the_app_keys_go_on_while_it_is_written() -> None:
    """A report that hangs takes no key with it."""
    free = threading.Event()
    desk = FakeDesk()
    app = app_on(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        desk.hold = lambda name: free.wait(10) if name == "report stay" else None
        await pilot.press("p", *["down"] * 6, "enter")
        assert BEGUN in rows_of(app)[3]
        await pilot.press("up")
        assert next(row for row in rows_of(app) if row.startswith(">")).endswith(paper.SHEETS["upkeep"])
        free.set()
        await settle(app, pilot)
        assert rows_of(app)[3].startswith("  sheet Written: logs/cabin stay report.html.")


def test_the_choices_lead_to_the_desks_own_names() -> None:
    session = Session(FakeDesk())
    desk = session.desk
    for name in paper.REPORTS:
        asked(session, name)
        finish(session)
        assert f"report {name}" in desk.slow_calls
    press(session, ("escape",))
    assert "print" in next(key.says for key in KEYS if "p" in key.keys)


@pytest.mark.usefixtures("no_fit")
def test_of_the_demo_a_report_is_there_soon_and_said_to_go_with_it(tmp_path: Path) -> None:
    at = write_demo(tmp_path / "demo.db")
    with desk_for(str(tmp_path / "demo.db"), at=at) as desk:
        for name in paper.REPORTS:
            began = time.process_time()
            said = desk.print_report(name, lambda said: None).sentence
            assert time.process_time() - began < 2.0, name  # its own work: others may be busy too
            assert "gone when you leave it" in said
