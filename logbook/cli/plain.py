"""``nightload --plain``: the app line by line, typed or piped. No cursor is moved, nothing is drawn."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Callable, Iterable
from datetime import datetime
from io import TextIOWrapper
from typing import TYPE_CHECKING

from logbook.cli.flag_values import readable
from logbook.shown import shown
from logbook.ui.plain_talk import PlainTalk

if TYPE_CHECKING:
    from logbook.actions.desk import AppDesk
    from logbook.actions.lists import Lists
    from logbook.actions.reckoning import Known

PROMPT = "line: "
"""Said before each line where a person types; a pipe gets none."""

NOT_ALL_KEPT = 1
"""Exit code of a pipe of which some line was not kept: refused, with the reason among the sentences."""


def plain(asked: Namespace) -> int:
    """The app line by line on the owner's log."""
    return talk(asked.log)


def talk(log: str | None, *, at: datetime | None = None) -> int:
    """One sitting on standard input and output.

    Returns:
        0; from a pipe 1 when a line was not kept.
    """
    from logbook.actions.desk import desk_for  # noqa: PLC0415 - --help goes without it

    typing = sys.stdin.isatty()
    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(errors="surrogateescape")  # bytes that are no UTF-8 are for readable() to tell
    with desk_for(log, at=at) as desk:
        sitting = PlainTalk(desk, say=_say, others=_others(desk))
        sitting.begin()
        while not sitting.done:
            line = _line(PROMPT if typing else "")
            if line is None:
                break
            _heard(sitting, line)
        sitting.end()
        copied = desk.copy_still_wanted()
        if copied:
            _say(copied)
    return NOT_ALL_KEPT if sitting.lost and not typing else 0


def _say(sentence: str) -> None:
    """At once: whoever listens does not wait for a full buffer."""
    print(shown(sentence), flush=True)


def _line(prompt: str) -> str | None:
    """The next line, or None at the end of what is typed; Ctrl-C at the prompt ends it too."""
    try:
        return readable(input(prompt))
    except EOFError:
        return None
    except KeyboardInterrupt:
        print()
        return None


def _heard(sitting: PlainTalk, line: str) -> None:
    """Hear a line; Ctrl-C stops a long answer and nothing else."""
    try:
        sitting.hear(line)
    except KeyboardInterrupt:
        _say("Stopped. Nothing is lost.")


def _told(desk: AppDesk) -> Known:
    from logbook.actions.reckoning import known  # noqa: PLC0415 - quick words go without it

    with desk.place.open() as log:
        return known(log, as_of=desk.now())


def _lists(desk: AppDesk, told: Known) -> Lists:
    from logbook.actions.lists import lists_of  # noqa: PLC0415 - quick words go without it

    with desk.place.open() as log:
        return lists_of(log, as_of=told.as_of)


def _others(desk: AppDesk) -> dict[str, Callable[[], Iterable[str]]]:
    """The commands that answer without being asked anything more."""

    def arrive() -> Iterable[str]:
        from logbook.actions import coming_going  # noqa: PLC0415 - the model loads here
        from logbook.wording.coming_going import arrive_text  # noqa: PLC0415 - with it

        told = _told(desk)
        got = coming_going.arrive(told, coming_going.Door(), lists=_lists(desk, told), cache=desk.place.cache)
        return arrive_text(got, setting=told.setting)

    def leave() -> Iterable[str]:
        from logbook.actions import coming_going  # noqa: PLC0415 - the model loads here
        from logbook.wording.coming_going import leave_text  # noqa: PLC0415 - with it

        told = _told(desk)
        got = coming_going.leave(told, coming_going.Door(), lists=_lists(desk, told), cache=desk.place.cache)
        return leave_text(got, setting=told.setting)

    return {"arrive": arrive, "leave": leave}
