"""Lines of entry straight into a log: what is kept is what was said, and nothing else happens."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import timedelta
from typing import Any

from benching.reliability.fuzz_cases import Case
from benching.reliability.fuzz_ground import NOW, Ground, watched

LINES_PER_LOG = 40
"""Lines kept in one log before it is put back as it was: each meets what those before it left."""
UNTOLD = {"at", "place", "flags", "moisture_basis", "matter", "note"}
"""Fields looked at by themselves below, or told with another."""


class Keeper:
    """Plays lines on logs that stay open for a while."""

    def __init__(self, at: Ground) -> None:
        self.at = at
        self.open: dict[str, tuple[Any, int]] = {}

    def play(self, case: Case) -> list[str]:
        """What was wrong with one line."""
        log = self._log(case["log"])
        db = log.connection
        last, count = (
            db.execute(sql).fetchone()[0]
            for sql in ("SELECT coalesce(max(id), 0) FROM event", "SELECT count(*) FROM event")
        )
        wrong: list[str] = []
        ran = watched(lambda: self._note(log, case, wrong))
        self.at.codes["line", ran.code] += 1
        if ran.fault:
            wrong.append(ran.fault)
        new = db.execute("SELECT uuid, act FROM event WHERE id > ? ORDER BY id", (last,)).fetchall()
        if ran.code and new:
            wrong.append(f"refused, yet {new} was written")
        if db.execute("SELECT count(*) FROM event WHERE id <= ?", (last,)).fetchone()[0] != count:
            wrong.append("older events are gone")
        if not wrong and ran.code == 0:
            wrong += self._beyond(new)
        if ran.fault:
            self.close()
        return wrong

    def close(self) -> None:
        """Close every log; the next line begins a new one."""
        for log, _ in self.open.values():
            log.close()
        self.open.clear()

    def _log(self, name: str) -> Any:
        from logbook.store.log import open_log  # noqa: PLC0415 - the program loads with the first case

        log, used = self.open.get(name, (None, LINES_PER_LOG))
        if used >= LINES_PER_LOG:
            if log is not None:
                log.close()
            folder = self.at.folder / f"lines-{name}"
            folder.mkdir(exist_ok=True)
            for old in folder.iterdir():
                old.unlink()
            (folder / "log.db").write_bytes(self.at.logs[name])
            log, used = open_log(folder / "log.db", create=False, now=lambda: NOW), 0
        self.open[name] = (log, used + 1)
        return log

    def _note(self, log: Any, case: Case, wrong: list[str]) -> int:
        from logbook.actions import lines  # noqa: PLC0415
        from logbook.errors import LogbookError  # noqa: PLC0415

        read: list[Any] = []
        settle, hear = lines.settled_for_scripts, lines.read_line
        lines.settled_for_scripts = lambda *a, **k: read.append(settle(*a, **k)) or read[-1]
        lines.read_line = lambda *a, **k: read.append(hear(*a, **k)) or read[-1]
        try:
            noted = lines.note(log, case["text"], now=NOW, yes=case["yes"])
        except LogbookError as error:
            if "\n" not in str(error):
                wrong.append(f"refused without what to do next: {error}")
            problem = read[0].problem if read else None
            if problem is not None and not (0 <= problem.start <= problem.end <= len(case["text"])):
                wrong.append(f"the problem's place {problem.start}-{problem.end} is not in the line")
            return error.exit_code
        finally:
            lines.settled_for_scripts, lines.read_line = settle, hear
        settled, _ = read[-1]
        self._said = (settled, noted)
        if settled.act is None:
            wrong += told(log, settled, noted, settled.setting)
        return 0

    def _beyond(self, new: list[tuple[str, str]]) -> list[str]:
        """Events beyond the one act the sentence tells."""
        settled, noted = self._said
        acts = [act for _, act in new if act != "setting"]
        if settled.act is None:
            learned = len(new) - len(acts)
            if set(acts) != {"record"} or [uuid for uuid, act in new if act == "record"] != list(
                noted.event_ids
            ):
                return [f"one line added {[act for _, act in new]}"]
            return (
                []
                if learned == len(settled.learned)
                else [f"{learned} settings kept, {len(settled.learned)} learned"]
            )
        kind = str(settled.act.kind)
        right = {
            "undo": acts == ["undo"],
            "redo": acts == ["redo"],
            "band": acts in (["describe"], []),
            "own_word": set(acts) <= {"edit"},
        }
        return [] if right.get(kind, not new) else [f"the act {kind} added {[act for _, act in new]}"]


def told(log: Any, heard: Any, noted: Any, setting: Any) -> list[str]:
    """Whether the log holds the entries as understood, and the sentence names all of each."""
    from logbook.records import Entry  # noqa: PLC0415 - the program loads with the first case
    from logbook.wording import said  # noqa: PLC0415

    wrong = []
    kept = [log.find(uuid).entry for uuid in noted.event_ids]
    if kept != list(heard.entries):
        wrong.append(f"kept {kept} for {heard.entries}")
    for entry in kept:
        plain = Entry(at=entry.at)
        for field in fields(Entry):
            value = getattr(entry, field.name)
            if value == getattr(plain, field.name) or field.name in UNTOLD:
                continue
            alone = replace(plain, **{field.name: value})
            if field.name == "indoor_c":
                alone = replace(alone, place=entry.place)
            words = said(alone, setting)
            if field.name == "alarms_tested":
                words = "larms tested"
            if not words or words not in noted.sentence:
                wrong.append(f"{field.name} {value!r} is kept and not told in {noted.sentence!r}")
            if isinstance(value, float) and not abs(value) < 1e9:
                wrong.append(f"{field.name} {value!r} is kept")
        if entry.note and entry.note not in noted.sentence:
            wrong.append(f"the note {entry.note!r} is kept and not told")
        wrong += untold_in_matter(entry.matter, noted.sentence)
    return wrong + said_again(heard, noted, setting)


def untold_in_matter(matter: Any, sentence: str) -> list[str]:
    """Words and numbers of a matter that its sentence leaves out."""
    wrong = []
    for field in fields(matter) if matter is not None else ():
        value = getattr(matter, field.name)
        if isinstance(value, bool) or value in (None, "", ()):
            continue
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, float) and not abs(one) < 1e12:
                wrong.append(f"{field.name} {one!r} is kept")
            if (
                type(one) is str
                and " ".join(one.split()).casefold() not in " ".join(sentence.split()).casefold()
            ):
                wrong.append(
                    f"{type(matter).__name__}.{field.name} {one!r} is kept and not told in {sentence!r}"
                )
    return wrong


NEAR = {
    "indoor_c": 0.06,
    "outdoor_c": 0.51,
    "low_c": 0.51,
    "high_c": 0.51,
    "forecast_low_c": 0.51,
    "load_kg": 0.051,
    "rh_pct": 0.51,
}
"""How far a value read back from its sentence may lie: half of the last figure shown."""
ON_GRID = ("coals", "window", "wind", "mark", "kindling", "fire_out", "pieces")


def said_again(heard: Any, noted: Any, setting: Any) -> list[str]:
    """The sentence read as a line: where the log promises it (the night's own words), it means the same."""
    from logbook.entry import read_line  # noqa: PLC0415 - the program loads with the first case
    from logbook.wording import sentence  # noqa: PLC0415

    entry = heard.entry
    odd = (
        entry.matter
        or entry.note
        or entry.species
        or entry.change
        or heard.more
        or entry.place
        or entry.flags
    )
    if (
        odd
        or entry.reset_at
        or entry.alarms_tested
        or entry.moisture_pct is not None
        or not NOW - timedelta(days=200) < entry.at <= NOW
    ):
        return []
    text = sentence(entry, setting, now=NOW)
    again = read_line(
        text, now=NOW, setting=replace(setting, last_indoor_c=None, last_outdoor_c=None, newest_at=None)
    )
    if again.problem is not None or again.entry is None:
        return [f"said {text!r}, which can't be typed: {again.problem}"]
    wrong = []
    if abs(again.entry.at - entry.at) > timedelta(seconds=60):
        wrong.append(f"said {text!r} of {entry.at}, read again as {again.entry.at}")
    for name, near in NEAR.items():
        was, now = getattr(entry, name), getattr(again.entry, name)
        if (was is None) != (now is None) or (was is not None and abs(was - now) > near):
            wrong.append(f"said {text!r}: {name} {was} is read again as {now}")
    wrong += [
        f"said {text!r}: {name} is read again as {getattr(again.entry, name)!r}"
        for name in ON_GRID
        if getattr(entry, name) != getattr(again.entry, name)
    ]
    return wrong


def shorter(text: str, fails: Callable[[str], bool]) -> str:
    """A line that still fails with as many words, then signs, left out as can be."""
    for parts, join in ((re.split(r"(?<= )", text), "".join), (None, "".join)):
        bits = parts if parts is not None else list(text)
        size = max(1, len(bits) // 2)
        while size:
            at = 0
            while at < len(bits):
                fewer = bits[:at] + bits[at + size :]
                if fewer and fails(join(fewer)):
                    bits = fewer
                else:
                    at += size
            size //= 2
        text = join(bits)
    return text
