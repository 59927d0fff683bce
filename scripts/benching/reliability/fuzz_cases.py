"""Cases for the fuzzing as plain JSON: what is typed, which files lie there, what the environment says."""

from __future__ import annotations

import base64
import functools
import json
from random import Random
from typing import Any

from benching.reliability.fuzz_files import DATES, bytes_bent, database_bent, matter, table, toml
from benching.reliability.fuzz_lines import line, number
from benching.reliability.fuzz_said import SAID

Case = dict[str, Any]
LOGS = ("small", "small", "small", "american", "american", "bare", "none")


def a_line(rng: Random) -> Case:
    return {"kind": "line", "log": rng.choice(LOGS[:6]), "text": line(rng), "yes": rng.random() < 0.7}


def a_note(rng: Random) -> Case:
    """Commands that write, with whatever a shell may hand over, bytes that are no UTF-8 among it."""
    text = line(rng).replace("\x00", "")
    if rng.random() < 0.05:
        at = rng.randint(0, len(text))
        text = text[:at] + rng.choice(("\udcff", "\udce9", "\ud83d")) + text[at:]
    words = text.split(" ") if rng.random() < 0.5 else [text]
    who = rng.choice(("ID", "ID", "ID", "ID4", "", "zz", "\udcff", "%", "0" * 300, "*"))
    since = rng.choice(DATES).format(h=3, m=4, d=5).replace("\x00", "")
    command = rng.choice(
        (
            ["note", *words],
            ["note", *words],
            ["note", *words],
            ["edit", who, *words],
            ["edit", who, *words],
            ["remove", who],
            ["undo"],
            ["redo"],
            ["change", text],
            ["change", text, "--from", since],
            ["events", "--since", since],
            ["events"],
        )
    )
    for flag, share in (("--yes", 0.6), ("--json", 0.5), ("--", 0.03), ("--nonsense", 0.02)):
        if rng.random() < share and (flag != "--yes" or command[0] in ("note", "edit")):
            command.insert(rng.randint(0, len(command)) if flag == "--json" else 1, flag)
    return {"kind": "note", "log": rng.choice(LOGS), "words": command}


def an_import(rng: Random) -> Case:
    words = [
        "import",
        "{dir}/t.csv",
        *(flag for flag, p in (("--preview", 0.2), ("--strict", 0.2), ("--json", 0.5)) if rng.random() < p),
    ]
    return {"kind": "table", "log": rng.choice(LOGS), "words": words, "files": {"t.csv": packed(table(rng))}}


def a_forecast(rng: Random) -> Case:
    data = table(rng)
    if rng.random() < 0.6:
        rows = [
            f"2026-01-{rng.randint(16, 17)}T{rng.randint(0, 23):02d}:00,{number(rng)}"
            for _ in range(rng.randint(1, 8))
        ]
        data = "\n".join(
            [rng.choice(("at,outdoor_c", "at,outdoor_f", "at;outdoor_c", "at,outdoor_c,place")), *rows]
        ).encode()
    return {
        "kind": "forecast",
        "log": rng.choice(LOGS[:5]),
        "files": {"t.csv": packed(bytes_bent(rng, data) if rng.random() < 0.2 else data)},
    }


@functools.cache
def _example() -> str:
    from logbook.description import example_toml  # noqa: PLC0415 - the program loads with the first case

    return example_toml()


def a_description(rng: Random) -> Case:
    data = toml(rng, _example()).encode("utf-8", "surrogateescape")
    if rng.random() < 0.05:
        data = rng.choice(
            (
                bytes_bent(rng, data),
                data.decode("utf-8", "replace").encode("utf-16"),
                b"",
                b"\x00",
                b"\xff\xfe",
                b"SQLite format 3\x00",
            )
        )
    words = ["setup", "{dir}/c.toml"]
    heavy = rng.choice((["tonight"], ["wood", "--quick"], ["list"], ["due"], ["sheet"]))
    if rng.random() < 0.2:
        words += ["--from", rng.choice(DATES).format(h=3, m=4, d=5)]
    then = rng.choice(
        ([], [], [], [], [], [], [], ["note", "--yes", "-12/18 4kg air 1/4"], ["events"], heavy)
    )
    return {
        "kind": "description",
        "log": rng.choice(LOGS),
        "words": words + ["--json"] * (rng.random() < 0.3),
        "then": then,
        "files": {"c.toml": packed(data)},
    }


SPECIALS = ("fifo", "folder", "zero", "random", "empty", "null", "loop", "missing", "full", "text", "huge")
ODD_SQL = SAID["ODD_SQL"]
ODD_TIMES = SAID["ODD_TIMES"]
READERS = SAID["READERS"]


def a_database(rng: Random) -> Case:
    """A database file under a command: as the log itself, or as the one merged in or put back."""
    role = rng.random()
    name = "log.db" if role < 0.5 else "other.db"
    words = (
        list(rng.choice(READERS))
        if role < 0.5
        else [rng.choice(("merge", "merge", "restore")), "{dir}/other.db"]
    )
    kind = rng.random()
    spec: dict[str, Any]
    if kind < 0.08:
        spec = {"special": rng.choice(SPECIALS)}
    else:
        spec = {"log": rng.choice(("small", "small", "american", "bare"))}
        if kind < 0.5:
            spec["bytes"] = database_bent(rng, bytes(160 * 1024))
            if rng.random() < 0.2:
                spec["cut"] = rng.choice((0, 1, 15, 16, 99, 100, 4095, 4096, 5000, rng.randrange(160_000)))
        else:
            spec["sql"] = [
                rng.choice(ODD_SQL).format(
                    x=rng.choice(("1e999", "-1e999", "1e308", "-0.0", "NULL", "99999")),
                    t=rng.choice(ODD_TIMES),
                    w=rng.choice(("", "x", "x\x1b[2J", "\u202ea", "{}", "[]", "closed", "a''b")),
                )
                for _ in range(rng.choice((1, 1, 2)))
            ]
            if kind > 0.97:
                spec = {"foreign": rng.randrange(4)}
    return {
        "kind": "database",
        "log": rng.choice(LOGS) if name == "other.db" else "none",
        "words": words,
        "files": {name: spec},
    }


SETTINGS = SAID["SETTINGS"]
STORED = SAID["STORED"]


def a_stored(rng: Random) -> Case:
    """What the program once wrote and reads back: matters, settings, what was learned, who writes here."""
    what = rng.choice(("matter", "matter", "matter", "setting", "setting", "cache", "device", "here"))
    spec: dict[str, Any] = {"what": what}
    if what == "matter":
        spec["texts"] = [matter(rng) for _ in range(rng.choice((1, 1, 3)))]
    elif what in ("setting", "here"):
        name = "FOUND" if rng.random() < 0.8 else rng.choice(SETTINGS)
        spec |= {
            "name": name,
            "pick": rng.randrange(100),
            "text": rng.choice(STORED) if rng.random() < 0.8 else matter(rng),
        }
    elif what == "cache":
        spec["seed"] = rng.randrange(10**9)
    else:
        spec["text"] = rng.choice(
            ("", "x", "\udcff", "0" * 36, "{12345678-1234-5678-1234-567812345678}", "x" * 10_000)
        )
    reader = (
        rng.choice((["tonight"], ["fit"], ["arrive"], ["leave"], ["damp"]))
        if what == "cache"
        else rng.choice(READERS)
    )
    return {
        "kind": "stored",
        "log": rng.choice(("small", "american")),
        "words": list(reader),
        "stored": spec,
        "stdin": rng.choice(("list leaving\nquit\n", "box = 5\nnights\n", "2 box\nyear\nundo\n")),
    }


PATHS = SAID["PATHS"]
VALUES = SAID["FLAG_VALUES"]


SLOW = (
    "demo",
    "tonight",
    "fit",
    "nights",
    "arrive",
    "leave",
    "woke",
    "report",
    "whatif",
    "compare",
    "export",
)
"""Commands that learn or write much: fewer of them, so that there are more of the others."""


def arguments(rng: Random) -> Case:
    """A command with some of its flags, or flags that are another's, and values of every kind."""
    flags, places = _commands()
    name = rng.choice(sorted(flags))
    if name in SLOW and rng.random() < 0.6:
        name = rng.choice(
            (
                "list",
                "sheet",
                "due",
                "stays",
                "weather",
                "bring",
                "experiment",
                "events",
                "setup",
                "restore",
                "merge",
                "import",
            )
        )
    words = [name]
    for _ in range(rng.choice((0, 1, 1, 2, 3, 5))):
        flag, takes, choices = (
            rng.choice(flags[name])
            if flags[name] and rng.random() < 0.93
            else rng.choice(flags[rng.choice(sorted(flags))] or [("--json", 0, ())])
        )
        words.append(flag if rng.random() < 0.97 else flag[: rng.randint(2, len(flag))])
        for _ in range(takes if rng.random() < 0.95 else rng.randint(0, 3)):
            words.append(_value(rng, flag, choices))
            if rng.random() < 0.1:
                words[-2:] = ["=".join(words[-2:])]
    count = places[name] if rng.random() < 0.85 else rng.randint(0, 4)
    at = rng.choice((1, len(words)))
    words[at:at] = [_value(rng, name, ()) for _ in range(count)]
    if rng.random() < 0.03:
        rng.shuffle(words)
    if rng.random() < 0.3:
        words.insert(rng.randint(0, len(words)), "--json")
    return {
        "kind": "arguments",
        "log": rng.choice(LOGS),
        "words": words,
        "stdin": rng.choice(("", "in 5\nquit\n", "\x00\n\n", "\udcff\n")),
    }


def _value(rng: Random, flag: str, choices: tuple[str, ...]) -> str:
    if choices and rng.random() < 0.7:
        return rng.choice(choices)
    if (
        flag
        in (
            "--html",
            "--write",
            "--log",
            "export",
            "backup",
            "restore",
            "merge",
            "import",
            "setup",
            "--outdoor",
        )
        and rng.random() < 0.8
    ):
        return rng.choice(PATHS)
    if flag == "--outdoor" or rng.random() < 0.05:
        return rng.choice(PATHS[:7])
    return rng.choice(VALUES) if rng.random() < 0.85 else line(rng).replace("\x00", "")


@functools.cache
def _commands() -> tuple[dict[str, list[tuple[str, int, tuple[str, ...]]]], dict[str, int]]:
    """Every command's flags (how many values each takes, its choices) and how many words it wants."""
    from logbook.cli.arguments import parser  # noqa: PLC0415 - the program loads with the first case

    flags: dict[str, list[tuple[str, int, tuple[str, ...]]]] = {}
    places: dict[str, int] = {}
    (commands,) = [action.choices for action in parser()._actions if action.dest == "command"]
    for name, made in commands.items():
        flags[name] = []
        places[name] = 0
        for action in made._actions:
            takes = 0 if action.nargs == 0 else action.nargs if isinstance(action.nargs, int) else 1
            if action.option_strings:
                flags[name].append((action.option_strings[-1], takes, tuple(action.choices or ())))
            else:
                places[name] += action.nargs != "?"
    return flags, places


ENVIRONMENTS = SAID["ENVIRONMENTS"]


def environment(rng: Random) -> Case:
    names = rng.sample(sorted(ENVIRONMENTS), rng.choice((1, 1, 2, 3, 5)))
    env = {name: rng.choice(ENVIRONMENTS[name]) for name in names}
    named = bool({"HOME", "XDG_DATA_HOME"} & set(env)) or rng.random() < 0.4
    if "HOME" in env and "XDG_DATA_HOME" not in env:
        env["XDG_DATA_HOME"] = "{dir}/data"  # the home of whoever runs this is no place for a log
    words = list(
        rng.choice(
            (
                *READERS,
                ["note", "in 5 air 1/4"],
                ["setup", "{dir}/cabin.toml"],
                ["import", "{dir}/rows.csv"],
                ["sheet", "guest"],
                ["report"],
                ["--help"],
                ["tonight", "--help"],
                ["--version"],
                ["demo", "--tonight"],
            )
        )
    )
    return {
        "kind": "environment",
        "log": rng.choice(LOGS),
        "words": words,
        "env": env,
        "named": named or "NIGHTLOAD_LOG" not in env,
    }


def packed(data: bytes) -> Any:
    """File content for JSON: text where it is such, else base64."""
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return {"base64": base64.b64encode(data).decode("ascii")}


MAKERS = {
    "line": (a_line, 139_000),
    "note": (a_note, 16_000),
    "table": (an_import, 16_000),
    "forecast": (a_forecast, 4_000),
    "description": (a_description, 10_000),
    "database": (a_database, 5_000),
    "stored": (a_stored, 4_000),
    "arguments": (arguments, 4_000),
    "environment": (environment, 2_000),
}
"""Kinds of case: how one is made, and how many of 200,000 are of it."""


def cases(count: int, seed: int) -> Any:
    """So many cases, kinds mixed in their shares: case ``n`` of a seed is the same in every run."""
    kinds, shares = list(MAKERS), [share for _, share in MAKERS.values()]
    for n in range(count):
        rng = Random(f"{seed}:{n}")
        yield MAKERS[rng.choices(kinds, shares)[0]][0](rng)


def text_of(case: Case) -> str:
    """A case as one line of a corpus."""
    return json.dumps(case, ensure_ascii=True, sort_keys=True)
