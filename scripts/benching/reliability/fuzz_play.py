"""Playing one case of the fuzzing, and judging what came of it."""

from __future__ import annotations

import contextlib
import functools
import json
import os
import re
import time
from pathlib import Path
from typing import Any

from benching.reliability.fuzz_cases import Case
from benching.reliability.fuzz_ground import Ground, Ran, held_in, watched
from benching.reliability.fuzz_lay import bend_stored, lay, odd_files

MACHINE_WORDS = re.compile(
    r"Traceback|<class '|NoneType|list index|object is not|not supported between|invalid literal"
    r"|could not convert|codec can't|has no attribute|sqlite3\.|Errno|unhashable|required positional"
    r"|(?:Key|Value|Type|Index|Attribute|Overflow|Recursion|Unicode\w*)Error|recursion depth"
    r"|positional arguments? but|<logbook\.|out of range for|must be in 1\.\."
)
"""What no owner should read: Python's own words. Not counted where the case itself holds them."""
CONTROL = re.compile("[\x00-\x08\x0b\x0d-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Signs that steer a terminal. Ends of rows, tabs of help and ends of sheets are our own."""

WRITERS = (
    "note",
    "edit",
    "remove",
    "undo",
    "redo",
    "change",
    "import",
    "setup",
    "merge",
    "restore",
    "list",
    "plain",
)
HEAVY = (
    "tonight",
    "fit",
    "nights",
    "compare",
    "whatif",
    "experiment",
    "arrive",
    "leave",
    "woke",
    "damp",
    "wood",
    "bring",
    "report",
    "sheet",
    "export",
    "plain",
    "demo",
    "stays",
    "due",
    "list",
)
MOST = 1e6
"""No quantity of an evening has as many figures before its point."""
MOST_ANSWER_S = 4.0
"""Processor time an answer may take that learns from the log first, s: learning is no hang."""


def play(case: Case, at: Ground) -> list[str]:
    """What was wrong with one case; nothing as a rule."""
    folder = at.fresh(case["log"])
    for name, spec in case.get("files", {}).items():
        lay(folder / name, spec, at)
    if case["kind"] in ("arguments", "environment"):
        odd_files(folder)
    if "stored" in case:
        bend_stored(case["stored"], at)
    if case["kind"] == "forecast":
        return _forecast(folder, at)
    with _environment(case.get("env", {}), folder):
        wrong = _command(case, case["words"], folder, at)
        if not wrong and case.get("then"):
            wrong = [f"then {case['then'][0]}: {one}" for one in _command(case, case["then"], folder, at)]
    return wrong


def _command(case: Case, words: list[str], folder: Path, at: Ground) -> list[str]:
    from logbook.cli import main  # noqa: PLC0415 - the program loads with the first case

    spoilt = case.get("then") == words or "stored" in case or "log.db" in case.get("files", {})
    before = held_in(at.log) if spoilt else at.held.get(case["log"])
    given = [word.replace("{dir}", str(folder)) for word in words]
    if before and any(word in ("ID", "ID4") for word in given):
        rows = [row for row in before["event"] if row[5] in (b"record", b"edit")] or [(0, b"none")]
        uuid = rows[len(case["words"][-1]) % len(rows)][1].decode()
        given = [uuid if word == "ID" else uuid[:4] if word == "ID4" else word for word in given]
    if case.get("named", True):
        given = ["--log", str(at.log), *given]
    heavy = case["kind"] != "note" and any(word in HEAVY for word in words)
    ran = watched(
        functools.partial(main, given),
        most_cpu_s=MOST_ANSWER_S if heavy else 1.0,
        stdin=case.get("stdin", ""),
    )
    at.codes[case["kind"], ran.code] += 1
    wrong = judged(case, words, ran)
    if case["kind"] != "database" or "other.db" in case.get("files", {}):
        wrong += changed(words, ran, before, held_in(at.log), folder)
    elif before is not None and ran.code not in (0, None):
        after = held_in(at.log)
        if after != before:
            wrong.append("refused, yet the log changed")
    return wrong


def judged(case: Case, words: list[str], ran: Ran) -> list[str]:
    """What is wrong with how a command ended and what it said."""
    if ran.fault:
        return [ran.fault]
    wrong = []
    if ran.code not in (0, 1, 2, 3):
        wrong.append(f"exit code {ran.code}")
    whole = json.dumps(case, ensure_ascii=False)
    for stream in (ran.out, ran.err):
        found = MACHINE_WORDS.search(stream)
        if found and found.group() not in whole:
            wrong.append(f"says {found.group()!r}: {stream[max(0, found.start() - 80) : found.end() + 60]!r}")
        steered = CONTROL.search(stream)
        if steered:
            wrong.append(
                f"prints the sign {steered.group()!r}: {stream[max(0, steered.start() - 40) :][:80]!r}"
            )
    if ran.code and "plain" not in words and "--plain" not in words:
        rows = ran.err.strip().split("\n")
        if len(rows) < 2:
            wrong.append(f"refused without what to do next: {ran.err!r}")
    if ran.code == 0 and not ran.out.strip() and not ran.err.strip() and "plain" not in words:
        wrong.append("ended well and said nothing")
    if ran.code == 0 and "--json" in words and ran.out.strip()[:1] in "{[":
        try:
            json.loads(ran.out, parse_constant=lambda name: wrong.append(f"JSON holds {name}"))
        except ValueError as error:
            wrong.append(f"no JSON: {error}")
    return wrong


Held = dict[str, list[tuple[Any, ...]]]


def changed(words: list[str], ran: Ran, before: Held | None, after: Held | None, folder: Path) -> list[str]:
    """What the log holds now beyond what was said."""
    if after is None and before is None:
        return []
    if after is None:
        return ["the log is gone"]
    old = before or {name: [] for name in after}
    helped = ran.out.startswith("usage:") or "--version" in words
    command = (
        ""
        if helped and not {"note", "edit"} & set(words)
        else next((word for word in words if word in WRITERS), "")
    )
    if command == "restore" and ran.code == 0:
        return (
            []
            if before is None or any("before restore" in p.name for p in folder.iterdir())
            else ["restored without keeping the log as it was"]
        )
    wrong = [
        f"rows of {name} were changed"
        for name in old
        if not set(map(repr, old[name])) <= set(map(repr, after[name]))
    ]
    known = {row[0] for row in old["event"]}
    new = [row for row in after["event"] if row[0] not in known]
    if not new:
        said = re.match(r"Brought in|Taken back|Left out:", ran.out)
        if said and ran.code == 0:
            wrong.append(f"says {said.group()!r} and did nothing")
        return wrong
    values = [value for row in after["entry"] if row[0] not in known for value in row]
    vast = [value for value in values if type(value) is float and not abs(value) < MOST]
    sealed = command == "import" and "{dir}/out" in words
    if not sealed:  # what an export's digest vouches for is kept as it was written, as in the log it is of
        wrong += [f"the value {value!r} was kept" for value in vast]
    if ran.code and command != "plain":  # of a sitting it says that some line was not kept
        return [*wrong, f"refused ({ran.code}), yet {len(new)} events were added"]
    acts = sorted(row[5].decode() for row in new)
    if not _allowed(command, words, acts, ran):
        wrong.append(f"{command or 'no writing command'} added {acts[:8]}, and said {ran.out[:120]!r}")
    return wrong


def _allowed(command: str, words: list[str], acts: list[str], ran: Ran) -> bool:
    """Whether these acts are what this command said it did."""
    of, plain = {act: acts.count(act) for act in acts}, [act for act in acts if act != "setting"]
    if ran.out[:1] == "{" and command in ("note", "edit", "remove", "undo", "redo", "change"):
        said, ids = json.loads(ran.out)["sentence"], json.loads(ran.out)["ids"]
        counted = plain in (["undo"], ["redo"], ["describe"], ["remove"]) or len(ids) == len(plain)
    else:
        said, counted = ran.out, True
    if command in ("note", "edit") and said.startswith(("Taken back", "Brought back", "Wanted from now on")):
        return plain in (["undo"], ["redo"], ["describe"])
    if command == "note":
        return counted and (set(plain) <= {"record"} or " = " in said)
    if command == "edit":
        return counted and of.get("edit") == 1 and set(plain) <= {"edit", "record"}
    if command == "change":
        return plain == ["record"]
    if command == "import":
        return _imported(words, acts, ran)
    if command == "merge":
        return bool(re.search(rf"\b{len(acts)} events were new", ran.out)) or ran.out[:1] == "{"
    if command == "setup":
        return (
            of.get("describe", 0) <= 1
            and of.get("setting", 0) <= 1
            and len(acts) == of.get("describe", 0) + of.get("setting", 0)
        )
    if command == "list":
        return set(acts) <= {"record", "setting"}
    alone = {"remove": plain, "undo": acts, "redo": acts}
    return command == "plain" or alone.get(command) == [command]


def _forecast(folder: Path, at: Ground) -> list[str]:
    """The reading of ``--outdoor FILE`` by itself: refused in words, or finite and in order."""
    from benching.reliability.fuzz_ground import NOW  # noqa: PLC0415
    from logbook.actions.files import outdoor_of  # noqa: PLC0415 - the program loads with the first case
    from logbook.actions.lines import setting_now  # noqa: PLC0415
    from logbook.errors import LogbookError  # noqa: PLC0415
    from logbook.store.log import open_log  # noqa: PLC0415

    before, wrong = held_in(at.log), []
    with open_log(at.log) as log:
        setting = setting_now(log)

    def read() -> int:
        try:
            rows = outdoor_of(folder / "t.csv", setting=setting, as_of=NOW)
        except LogbookError as error:
            if "\n" not in str(error):
                wrong.append(f"refused without what to do next: {error}")
            return error.exit_code
        if not rows or list(rows) != sorted(rows) or not all(-60 <= c <= 60 for _, c in rows):
            wrong.append(f"not in order or not possible: {rows[:5]}")
        return 0

    ran = watched(read)
    at.codes["forecast", ran.code] += 1
    if ran.fault:
        wrong.append(ran.fault)
    return wrong + (["reading a forecast changed the log"] if held_in(at.log) != before else [])


@contextlib.contextmanager
def _environment(env: dict[str, str | None], folder: Path) -> Any:
    """The environment of a case; the folder it works in is the case's own."""
    before, here = dict(os.environ), Path.cwd()
    os.chdir(folder)
    try:
        for name, value in env.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value.replace("{dir}", str(folder))
        time.tzset()
        yield
    finally:
        os.chdir(here)
        for name in env:
            os.environ.pop(name, None)
            if name in before:
                os.environ[name] = before[name]
        time.tzset()


def _imported(words: list[str], acts: list[str], ran: Ran) -> bool:
    """Whether so many events came in as were told: records of a table, every act of an export read back."""
    found = re.search(r"Brought in (\d+)", ran.out)
    added = json.loads(ran.out)["added"] if ran.out[:1] == "{" else int(found.group(1)) if found else -1
    right = "{dir}/out" in words or set(acts) == {"record"}
    return "--preview" not in words and right and len(acts) == added
