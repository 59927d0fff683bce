"""Two more kinds of fuzzing: an export's folder read back, and the app spoken to line by line."""

from __future__ import annotations

import functools
import json
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

from benching.reliability.fuzz_cases import LOGS, Case
from benching.reliability.fuzz_files import WRONG, bytes_bent, matter
from benching.reliability.fuzz_ground import Ground, watched
from benching.reliability.fuzz_lines import WORDS, bent, line
from benching.reliability.fuzz_said import SAID

MORE_EVERY = 50
"""One further case for so many of the others."""

HALF_A_SIGN = "\ud800"
"""What JSON can spell and no file can hold."""

TALK = SAID["TALK"]
"""What can be said to ``nightload plain`` besides lines of entry."""


def a_folder(rng: Random) -> Case:
    """An export with its file of events bent, read back by ``import DIR``."""
    spec = {"export": rng.choice(("small", "american", "bare")), "seed": rng.randrange(10**9)}
    flags = ["--json"] * (rng.random() < 0.2) + ["--preview"] * (rng.random() < 0.1)
    words = ["import", "{dir}/out", *flags]
    return {"kind": "folder", "log": rng.choice(LOGS), "words": words, "files": {"out": spec}}


def a_talk(rng: Random) -> Case:
    """A sitting at ``nightload plain``: words, lines, answers to questions and odd signs in turn."""
    said = []
    for _ in range(rng.choice((1, 3, 6, 10))):
        kind = rng.random()
        said.append(rng.choice(TALK) if kind < 0.55 else line(rng) if kind < 0.9 else rng.choice(WORDS))
        if rng.random() < 0.1:
            said[-1] = bent(rng, said[-1])
    typed = rng.choice(("\n", "\n", "\r\n")).join(said) + rng.choice(("\n", ""))
    return {"kind": "talk", "log": rng.choice(LOGS), "words": ["plain"], "stdin": typed}


MORE = {"folder": a_folder, "talk": a_talk}


def more_cases(count: int, seed: int) -> Iterator[Case]:
    """So many of either kind in turn; a seed gives the same ones in every run."""
    for n in range(count):
        rng = Random(f"more {seed}:{n}")
        yield MORE[("folder", "folder", "talk")[n % 3]](rng)


def lay_export(path: Path, spec: dict[str, Any], at: Ground) -> None:
    """Write the export of one of the logs, its events bent."""
    path.mkdir()
    for name, data in _exported(at, spec["export"]).items():
        bend = spec["seed"] if name == "events.jsonl" else None
        (path / name).write_bytes(data if bend is None else events_bent(Random(bend), data))


@functools.lru_cache(maxsize=8)
def _export_of(folder: Path, log: bytes) -> tuple[tuple[str, bytes], ...]:
    from logbook.cli import main  # noqa: PLC0415 - the program loads with the first case

    (folder / "exported.db").write_bytes(log)
    words = ["--log", str(folder / "exported.db"), "export", str(folder / "exported")]
    ran = watched(functools.partial(main, words), most_cpu_s=60)
    assert ran.code == 0, ran
    return tuple((file.name, file.read_bytes()) for file in (folder / "exported").iterdir())


def _exported(at: Ground, name: str) -> dict[str, bytes]:
    return dict(_export_of(at.folder, at.logs[name]))


def events_bent(rng: Random, data: bytes) -> bytes:
    """Lines of events with values changed, lines lost, doubled or moved, or bytes of it spoilt."""
    rows = data.decode("utf-8").splitlines(keepends=True)
    for _ in range(rng.choice((0, 1, 1, 1, 2, 4))):
        at = rng.randrange(len(rows))
        slip = rng.randrange(8)
        if slip <= 3:
            rows[at] = _event_bent(rng, rows[at])
        elif slip == 4:
            del rows[at]
        elif slip == 5:
            rows.insert(rng.randint(0, len(rows)), rows[at])
        elif slip == 6:
            rows[at] = bent(rng, rows[at])
        else:
            rows[at] = rng.choice(
                ("[" * 5000 + "\n", "{}\n", "null\n", "\n", "9" * 5000 + "\n", '{"uuid": 1}\n')
            )
        if not rows:
            break
    spoilt = "".join(rows).encode("utf-8", "surrogatepass")
    return bytes_bent(rng, spoilt) if rng.random() < 0.15 else spoilt


def _event_bent(rng: Random, row: str) -> str:
    """An event with one value changed; half the time without its digest, so that the change is looked at."""
    try:
        said = json.loads(row)
    except (ValueError, RecursionError):
        return row
    if not isinstance(said, dict):
        return row
    inside = said["entry"] if isinstance(said.get("entry"), dict) and rng.random() < 0.6 else said
    key = rng.choice([*inside, "entry", "typed", "description", "setting", "extra"])
    if key == "matter" or rng.random() < 0.1:
        inside["matter"] = rng.choice((matter(rng), {"kind": rng.choice(WRONG)}))
    elif rng.random() < 0.15:
        inside.pop(key, None)
    else:
        inside[key] = rng.choice((*WRONG, HALF_A_SIGN))
    if rng.random() < 0.5:
        said.pop("digest", None)
    return json.dumps(said, ensure_ascii=rng.random() < 0.5) + "\n"
