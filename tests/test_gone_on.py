"""What the app remembers of a log from line to line is what it would read anew, on the demo and on years."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "scripts"))

from benching.years import Size, write_years  # noqa: E402 - found by the line above

from logbook.actions.desk import AppDesk, desk_for  # noqa: E402 - as above
from logbook.demo import write_demo  # noqa: E402 - as above
from logbook.ui.known import LINES_LISTED  # noqa: E402 - as above

LINES = (
    "-4/12",
    "note ash out",
    "4.2kg birch",
    "water 12 L",
    "ash out shed",
    "mouse droppings pantry",
    "left",
)


def years(path: Path) -> datetime:
    return write_years(path, Size(years=2, weekends=20, events=1_500, logger_rows=1_500), seed=4)


@pytest.fixture(params=[write_demo, years], ids=["demo", "years"])
def standing(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, datetime]:
    path = tmp_path / "log.db"
    written: Callable[[Path], datetime] = request.param
    return path, written(path)


def seen(desk: AppDesk) -> tuple[object, ...]:
    """What the first page shows of the log; the second look at the head, with all that is pending."""
    desk.head()
    past = desk.past(desk.now() - timedelta(hours=20))
    return desk.head(), desk.latest(LINES_LISTED), past, desk.left_out(), desk._setting()


def test_line_by_line(standing: tuple[Path, datetime]) -> None:
    path, at = standing
    with desk_for(str(path), at=at) as desk:

        def as_if_opened_anew() -> bool:
            with desk_for(str(path), at=at) as anew:
                return seen(desk) == seen(anew)

        assert as_if_opened_anew()
        for line in LINES:
            desk.keep(desk.read(line))
            assert as_if_opened_anew(), line
        last = desk.latest(LINES_LISTED)[0]
        desk.edit(last.event_id, desk.read("-6/13"))
        assert as_if_opened_anew(), "changed"
        desk.remove(desk.latest(LINES_LISTED)[0].event_id)
        assert as_if_opened_anew(), "left out"
        for turn in (desk.undo, desk.undo, desk.redo, desk.undo, desk.undo):
            turn()
            assert as_if_opened_anew(), turn.__name__
