"""The desk's part for the owner's own: description, first evening, emergency page, works on the cabin.

``desk.AppDesk`` builds on it. Quick and slow calls as there: the slow ones load the heat model.
"""

from __future__ import annotations

import json
from abc import abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from logbook.actions import emergency
from logbook.actions.opening import Place
from logbook.actions.setting_now import LEVER
from logbook.description import describe_changes
from logbook.errors import LogbookError
from logbook.records import Description
from logbook.results.first_frame import EmergencyPage, Heard, Kept, Standing
from logbook.store.log import Log

if TYPE_CHECKING:
    from logbook.actions.reckoning import Known
    from logbook.results.app import Blank, Blanks, CabinPage, Effect, Going, SoFar, WhatIf, Works

FIRST_TEXTS = "first evening"
"""Under this what was filled in so far is kept in the file, when the first evening is put off."""


@dataclass(frozen=True, slots=True)
class _Changed:
    """A blank read: which, and the description with it."""

    name: str
    description: Description


class OwnPages:
    """Mixed into the desk."""

    place: Place
    at: datetime | None

    @abstractmethod
    def now(self) -> datetime:
        """The time it is, aware."""

    @abstractmethod
    def description(self) -> Description | None:
        """The description that holds now."""

    @abstractmethod
    def _log(self) -> Log:
        """The log, on the screen's thread."""

    @abstractmethod
    def _known(self) -> Known:
        """What the log tells now, on any thread."""

    # First evening

    def first_texts(self) -> dict[str, str]:
        """What was filled in before the first evening was put off."""
        kept = self._log().kept_here(FIRST_TEXTS)
        try:
            found = json.loads(kept) if kept else {}
        except (ValueError, RecursionError):
            found = {}
        return {str(k): str(v) for k, v in found.items()} if isinstance(found, dict) else {}

    def keep_first_texts(self, texts: Mapping[str, str]) -> None:
        """Keep what is filled in so far for later."""
        self._log().keep_here(FIRST_TEXTS, json.dumps(dict(texts)))

    def first_evening(self, texts: Mapping[str, str]) -> Blanks:
        """The first evening's blanks, what is wrong in them, whether it is enough."""
        from logbook.actions import first_evening  # noqa: PLC0415 - the first evening only

        return first_evening.first_evening(texts, zone=self._machine_zone())

    def begin(self, texts: Mapping[str, str]) -> Kept:
        """Keep the first description.

        Raises:
            LogbookError: A blank is wrong or missing.
        """
        from logbook.actions import first_evening  # noqa: PLC0415 - the first evening only

        kept = first_evening.begin(self._log(), texts, zone=self._machine_zone())
        self.keep_first_texts({})
        return kept

    def so_far(self, texts: Mapping[str, str]) -> SoFar | None:
        """Slow: what the description alone says already."""
        from logbook.actions import first_evening  # noqa: PLC0415 - the first evening only

        return first_evening.so_far(texts, now=self.now(), zone=self._machine_zone())

    def _machine_zone(self) -> str:
        from logbook.actions.machine import machine_zone  # noqa: PLC0415 - the first evening only

        return machine_zone(self.now().astimezone())

    # Description

    def blanks(self) -> tuple[Blank, ...]:
        """The description's blanks with what stands in them; none while there is no description."""
        from logbook.actions import blanks  # noqa: PLC0415 - not for the first frame

        described = self.description()
        return blanks.blanks_of(described) if described else ()

    def read_blank(self, name: str, text: str) -> Heard:
        """What a blank would hold, without keeping it. Never raises for what is typed."""
        from logbook.actions import blanks  # noqa: PLC0415 - not for the first frame

        try:
            changed = self._with(name, text)
        except LogbookError as error:
            said = " ".join(str(error).split())
            return Heard(text=text, standing=Standing.STOP, sentence=said)
        said = _row_said(name, self._described(), changed) or "As it is now."
        offered = blanks.rest_of_word(name, text)
        token = _Changed(name, changed)
        return Heard(text=text, standing=Standing.READS, sentence=said, offered=offered, token=token)

    def keep_blank(self, heard: Heard) -> Kept:
        """Keep a blank that reads as a new version of the description, from now on."""
        if not isinstance(heard.token, _Changed):
            raise LogbookError("That blank was read by somebody else.\nType it again.")
        from logbook.actions.time_now import in_force_from  # noqa: PLC0415 - not for the first frame

        old, new = self._described(), heard.token.description
        said = _row_said(heard.token.name, old, new)
        if not said:
            return Kept(sentence="As it was: nothing changed.")
        kept = self._log().add_description(new, in_force_from(self._log(), self.now()))
        if heard.token.name == "lever":
            self._log().set_setting(LEVER, new.stove.air_lever_reads)
        return Kept(sentence=f"From now on: {said}. u takes it back.", event_ids=(kept.uuid,))

    def effect(self, name: str, text: str) -> Effect | None:
        """Slow: what another value in a blank does to what is believed before any reading."""
        from logbook.actions import blanks  # noqa: PLC0415 - not for the first frame
        from logbook.actions.cabin_page import effect  # noqa: PLC0415 - the model loads here

        known = self._known()
        try:
            changed = blanks.with_blank(known.description, name, text)
        except LogbookError:
            return None
        return effect(known.description, changed, at=known.as_of)

    def _described(self) -> Description:
        described = self.description()
        if described is None:
            raise LogbookError("There is no description yet.\nPage Cabin, Enter: it takes three numbers.")
        return described

    def _with(self, name: str, text: str) -> Description:
        from logbook.actions import blanks  # noqa: PLC0415 - not for the first frame

        return blanks.with_blank(self._described(), name, text)

    # Emergency page

    def emergency(self) -> EmergencyPage:
        """The owner's emergency page, as far as it is written."""
        described = self.description()
        return emergency.written(self._log(), zone=described.site.timezone if described else "UTC")

    def keep_emergency(self, page_lines: tuple[str, ...]) -> Kept:
        """Keep the page anew; undo brings the old one back."""
        emergency.keep(self._log(), page_lines, now=self.now())
        return Kept(sentence="Emergency page kept. p prints it: paper works without this computer.")

    def print_emergency(self) -> Kept:
        """Write the page as a text file beside the log, and say where."""
        page = self.emergency()
        if not page.lines:
            raise LogbookError("The emergency page is not written yet.\nPage Cabin, last row: Enter.")
        described = self.description()
        name = described.site.name if described else ""
        path = emergency.write_out(page, self.place, name=name)
        gone = " (the demo's: gone when you leave it)" if self.at is not None else ""
        return Kept(sentence=f"Written: {path}{gone}. Print it and hang it by the door.")

    # Cabin

    def cabin(self, progress: Callable[[str], None]) -> CabinPage:
        """Slow: how the cabin cools and what is known of it."""
        from logbook.actions.cabin_page import cabin_page  # noqa: PLC0415 - the model loads here

        progress("learning from the readings")
        return cabin_page(self._known(), cache=self.place.cache)

    def works(self, progress: Callable[[str], None]) -> Works:
        """Slow: did the dated changes help, and how the range narrowed."""
        from logbook.actions.cabin_page import works  # noqa: PLC0415 - the model loads here
        from logbook.actions.house import house_of  # noqa: PLC0415 - with it

        told = self._known()
        with self.place.open() as log:  # this thread's own
            house = house_of(log, as_of=told.as_of)
        return works(told, house, cache=self.place.cache, progress=progress)

    def going(self, progress: Callable[[str], None]) -> Going:
        """Slow: how long the room keeps with no more wood, and what to heed before leaving."""
        from logbook.actions.going import going  # noqa: PLC0415 - the model loads here
        from logbook.actions.lists import lists_of  # noqa: PLC0415 - with it

        progress("how the room falls")
        told = self._known()
        with self.place.open() as log:  # this thread's own
            lists = lists_of(log, as_of=told.as_of)
        return going(told, lists=lists, cache=self.place.cache)

    def what_if(self, text: str) -> WhatIf:
        """Slow: what would come of works typed in words."""
        from logbook.actions.cabin_page import what_if  # noqa: PLC0415 - the model loads here

        return what_if(self._known(), text, cache=self.place.cache)


def _row_said(name: str, old: Description, new: Description) -> str:
    """The row as it will stand: "My wood has 20 % water in it (was 18)"; else what differs, if anything."""
    from logbook.actions import blanks  # noqa: PLC0415 - not for the first frame

    changes = "; ".join(describe_changes(old, new))
    was, row = (
        next((blank for blank in blanks.blanks_of(version) if blank.name == name), None)
        for version in (old, new)
    )
    if not changes or was is None or row is None or not row.text or name.startswith(blanks.PART):
        return changes
    before = f" (was {was.text})" if was.text else ""
    return " ".join(f"{row.before} {row.text} {row.after}{before}".split())
