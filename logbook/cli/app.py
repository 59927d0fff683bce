"""Opening the app. Nothing but the app is loaded here: all of it is waited for before the first frame."""

from __future__ import annotations

from datetime import datetime

from logbook.actions.desk import desk_for
from logbook.ui.app import run


def open_app(log: str | None, *, at: datetime | None = None) -> None:
    """Open the app on a log, its clock standing at ``at`` if that is given."""
    with desk_for(log, at=at) as desk:
        run(desk)
        copied = desk.copy_still_wanted()
    if copied:
        from logbook.shown import shown  # noqa: PLC0415 - the app is closed by now

        print(shown(copied))
