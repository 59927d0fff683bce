"""Files of a fuzzing case, put where they belong: whole, bent, another program's, or no file at all."""

from __future__ import annotations

import base64
import contextlib
import functools
import hashlib
import os
import sqlite3
from pathlib import Path
from random import Random
from typing import Any

from benching.reliability.fuzz_files import bytes_bent
from benching.reliability.fuzz_ground import ROWS, Ground


def lay(path: Path, spec: Any, at: Ground) -> None:
    """Put a file of a case where it belongs."""
    if isinstance(spec, str):
        path.write_bytes(spec.encode("utf-8", "surrogatepass"))
    elif "base64" in spec:
        path.write_bytes(base64.b64decode(spec["base64"]))
    elif "special" in spec:
        _special(path, spec["special"])
    elif "export" in spec:
        from benching.reliability.fuzz_more import lay_export  # noqa: PLC0415 - it uses this module's own users

        lay_export(path, spec, at)
    elif "foreign" in spec:
        _foreign(path, spec["foreign"])
    else:
        data = bytearray(at.logs[spec["log"]])
        for place, value in spec.get("bytes", ()):
            data[place % len(data)] = value
        path.write_bytes(bytes(data[: spec.get("cut", len(data))]))
        if "sql" in spec:
            _bend_rows(path, [(sql, ()) for sql in spec["sql"]])


def _bend_rows(path: Path, statements: list[tuple[str, tuple[Any, ...]]]) -> None:
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA ignore_check_constraints = 1")
        for sql, values in statements:
            for one in sql.split("; ") if not values else [sql]:
                with contextlib.suppress(sqlite3.Error, UnicodeEncodeError, OverflowError):
                    db.execute(one, values)
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _special(path: Path, what: str) -> None:
    if what == "fifo":
        os.mkfifo(path)
    elif what == "folder":
        path.mkdir()
    elif what in ("zero", "random", "null", "full"):
        path.symlink_to(f"/dev/{what}")
    elif what == "loop":
        path.symlink_to(path)
    elif what == "empty":
        path.write_bytes(b"")
    elif what == "text":
        path.write_text("at,indoor_c\n2026-01-16T10:00,5\n" * 40)
    elif what == "huge":
        with path.open("wb") as file:
            file.truncate(6 * 1024**3)


def _foreign(path: Path, which: int) -> None:
    """Another program's database whose tables have our tables' names."""
    with contextlib.closing(sqlite3.connect(path)) as db:
        if which < 3:
            for name in ("event", "entry", "typed", "description", "setting", "batch", "device", "info"):
                db.execute(f"CREATE TABLE {name} (a, b, c)")
            db.execute("INSERT INTO event VALUES (1, 2, 3)")
        if which == 1:
            db.execute(f"PRAGMA application_id = {0x4E4C4F47}")
        if which == 2:
            db.executescript(f"PRAGMA application_id = {0x4E4C4F47}; PRAGMA user_version = 2")
        db.commit()


def odd_files(folder: Path) -> None:
    (folder / "rows.csv").write_text(ROWS, encoding="utf-8")
    (folder / "cabin.toml").write_text("[cabin]\nfloor_m2 = 24\nvolume_m3 = 60\n[stove]\nmax_load_kg = 8\n")
    os.mkfifo(folder / "fifo")
    (folder / "loop").symlink_to(folder / "loop")


def bend_stored(spec: dict[str, Any], at: Ground) -> None:
    """Bend what the program keeps for itself."""
    if spec["what"] == "matter":
        values = [(text,) for text in spec["texts"]]
        sql = (
            "UPDATE entry SET matter = ? WHERE event = (SELECT event FROM entry WHERE matter IS NOT NULL"
            " ORDER BY event LIMIT 1 OFFSET {})"
        )
        _bend_rows(at.log, [(sql.format(n * 3), value) for n, value in enumerate(values)])
    elif spec["what"] in ("setting", "here"):
        names = list(_setting_names())
        name = names[spec["pick"] % len(names)] if spec["name"] == "FOUND" else spec["name"]
        if spec["what"] == "here":
            _bend_rows(
                at.log, [("INSERT OR REPLACE INTO info VALUES (?, ?)", ("here:" + name, spec["text"]))]
            )
        else:
            _bend_rows(at.log, [("UPDATE setting SET name = ?, value = ?", (name, spec["text"]))])
    elif spec["what"] == "cache":
        rng = Random(spec["seed"])
        for file in sorted((at.folder / "cache").rglob("*.learned")):
            data = file.read_bytes()
            blob = bytes_bent(rng, data[32:])
            file.write_bytes(
                hashlib.sha256(blob).digest() + blob if rng.random() < 0.7 else bytes_bent(rng, data)
            )
    else:
        folder = at.folder / "data" / "nightload"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "device").write_bytes(spec["text"].encode("utf-8", "surrogateescape"))


@functools.cache
def _setting_names() -> tuple[str, ...]:
    """Names the program keeps things under, found in its own modules."""
    from logbook.actions import emergency, left_out, lines, own_desk, own_measures, paper_desk  # noqa: PLC0415

    found = {"air_lever_reads", "list leaving", "list arriving", "list packing", "look"}
    for module in (emergency, left_out, lines, own_desk, own_measures, paper_desk):
        found |= {
            value
            for name, value in vars(module).items()
            if name.isupper() and isinstance(value, str) and len(value) < 24
        }
    return tuple(sorted(found))
