"""Copies of a log with random damage, salvaged: how many of the events no damage touched are in the new log.

Zeroed blocks, blocks of random bytes, cut ends, the head of the file gone; write-ahead logs cut or torn. An
event counts as untouched when each of its rows reads the same at the place where it lay; a write-ahead log's
must hold what SQLite itself still reads. An edit, removal, undo or redo of something that the damage took has
nothing left to act on: it is written beside, and counted apart.
"""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.options import Options
from benching.reliability.all_kinds import write
from logbook.errors import LogbookError
from logbook.store.log import open_log
from logbook.store.pages import DamagedError, Found, Image, image_of
from logbook.store.pieces import Pieces
from logbook.store.salvage import salvage
from logbook.store.soundness import check

ACTS = 60
COPIES = 1000
BLOCKS = (512, 1024, 2048, 4096)


def run(options: Options) -> Iterator[str]:
    """A row for damaged files, one for cut write-ahead logs."""
    with TemporaryDirectory(prefix="nightload-salvage-") as folder:
        dice = random.Random(options.seed)
        log = Path(folder) / "cabin.db"
        write(log, acts=ACTS, seed=options.seed)
        count = options.how_many(COPIES, quick=4)
        yield _row("a damaged log is saved as far as it goes", _damaged(log, count, dice), count, options)
        logged = _with_wal(Path(folder) / "logged.db", options.seed)
        few = max(2, count // 5)
        yield _row("the same of a cut write-ahead log", _cut(logged, few, dice), few, options)


def _row(promise: str, cases: Iterator[Counter[str]], count: int, options: Options) -> str:
    total: Counter[str] = sum(cases, Counter())
    said = ", ".join(f"{number:,} {what}" for what, number in sorted(total.items()))
    return f"| {promise} | {count:,} | {options.seed} | {said} |"


@dataclass(frozen=True)
class Lain:
    """Where a row lay, what kind of page that was, and the row."""

    page: int
    offset: int
    kind: int
    found: Found


def _damaged(log: Path, count: int, dice: random.Random) -> Iterator[Counter[str]]:
    whole = log.read_bytes()
    lay = _places(whole)
    uuids, objects = _uuids(log), _objects(log)
    harmed, new = log.with_name("harmed.db"), log.with_name("new.db")
    for _ in range(count):
        content = _harm(whole, dice)
        harmed.write_bytes(content)
        image, _ = image_of(content)
        untouched = {uuids[key] for key, rows in lay.items() if all(_is_there(image, row) for row in rows)}
        yield _case(harmed, new, untouched, objects)
        if harmed.read_bytes() != content:
            yield Counter({"damaged files changed (must be 0)": 1})


def _case(harmed: Path, new: Path, due: set[str], objects: Mapping[str, frozenset[str]]) -> Counter[str]:
    try:
        salvage(harmed, new)
        saved = _ids(new) if check(new).sound else set()
    except LogbookError:
        saved = set()
    _clear(new)
    missing = due - saved
    idle = {uuid for uuid in missing if objects[uuid] and not objects[uuid] <= saved}
    return Counter(
        {
            "events untouched": len(due),
            "of them saved": len(due & saved),
            "acts on what is gone": len(idle),
            "lost without need (must be 0)": len(missing - idle),
            "others saved as well": len(saved - due),
            "invented (must be 0)": len(saved - set(objects)),
        }
    )


def _clear(new: Path) -> None:
    for path in new.parent.glob(f"{new.stem}*"):
        path.unlink()


def _harm(whole: bytes, dice: random.Random) -> bytes:
    harmed = bytearray(whole)
    for _ in range(dice.randint(1, 4)):
        size = dice.choice(BLOCKS)
        at = dice.randrange(len(whole) // 512) * 512
        kind = dice.random()
        if kind < 0.5:
            harmed[at : at + size] = bytes(len(harmed[at : at + size]))
        elif kind < 0.8:
            harmed[at : at + size] = dice.randbytes(len(harmed[at : at + size]))
        elif kind < 0.9:
            del harmed[len(harmed) - dice.randrange(1, len(harmed) // 3) :]
        else:
            harmed[:100] = bytes(100)
    return bytes(harmed)


def _places(whole: bytes) -> dict[int, list[Lain]]:
    """Where the rows of each event lie, by its key."""
    image, _ = image_of(whole)
    lay: dict[int, list[Lain]] = defaultdict(list)
    for number in range(1, image.last + 1):
        page, at = image.page(number), 100 if number == 1 else 0
        kind = page[at]
        if kind not in (13, 10):
            continue
        for pointer in range(int.from_bytes(page[at + 3 : at + 5], "big")):
            place = at + 8 + 2 * pointer
            offset = int.from_bytes(page[place : place + 2], "big")
            found = image.cell(page, offset, kind)
            pieces = Pieces()
            pieces.take([found])
            of = (pieces.events, pieces.entries, pieces.typed, pieces.descriptions, pieces.settings)
            for key in {key for by_key in of for key in by_key}:
                lay[key].append(Lain(number, offset, kind, found))
    return lay


def _is_there(image: Image, row: Lain) -> bool:
    try:
        return image.cell(image.page(row.page), row.offset, row.kind) == row.found
    except DamagedError:
        return False


def _uuids(log: Path) -> dict[int, str]:
    with closing(sqlite3.connect(log)) as db:
        return dict(db.execute("SELECT id, uuid FROM event"))


def _objects(log: Path) -> dict[str, frozenset[str]]:
    """The events that each event acts on, by its name; none for one that stands by itself."""
    of_batch: dict[str, set[str]] = defaultdict(set)
    with closing(sqlite3.connect(log)) as db:
        acts = db.execute("SELECT uuid, root, supersedes, target FROM event").fetchall()
        for batch, uuid in db.execute(
            "SELECT batch.uuid, event.uuid FROM event JOIN batch ON batch.id = event.batch"
        ):
            of_batch[batch].add(uuid)
    return {
        uuid: frozenset(of_batch[target] if target else {root, supersedes} - {None})
        for uuid, root, supersedes, target in acts
    }


def _ids(log: Path) -> set[str]:
    return set(_uuids(log).values())


def _with_wal(path: Path, seed: int) -> Path:
    """A copy of a log that is open: some of it in the file, the rest in the write-ahead log beside."""
    write(path, acts=ACTS // 2, seed=seed + 1)
    copy = path.with_name("left.db")
    with open_log(path) as log:
        for event in log.latest(20):
            log.remove(event.uuid)
            log.undo()
        for ending in ("", "-wal"):
            shutil.copyfile(path.with_name(path.name + ending), copy.with_name(copy.name + ending))
    return copy


def _cut(log: Path, count: int, dice: random.Random) -> Iterator[Counter[str]]:
    whole, logged = (log.with_name(log.name + ending).read_bytes() for ending in ("", "-wal"))
    harmed, new = log.with_name("harmed.db"), log.with_name("new.db")
    wal, seen = harmed.with_name("harmed.db-wal"), log.with_name("seen.db")
    objects = _objects_of_all(log, whole, logged)
    for _ in range(count):
        cut = bytearray(logged[: dice.randrange(len(logged))])
        if len(cut) > 100 and dice.random() < 0.5:
            cut[dice.randrange(len(cut))] ^= 1 << dice.randrange(8)
        for path, content in (
            (harmed, whole),
            (wal, cut),
            (seen, whole),
            (seen.with_name("seen.db-wal"), cut),
        ):
            path.write_bytes(bytes(content))
        yield _case(harmed, new, _ids(seen), objects)
        _clear(seen)


def _objects_of_all(log: Path, whole: bytes, logged: bytes) -> dict[str, frozenset[str]]:
    full = log.with_name("full.db")
    full.write_bytes(whole)
    full.with_name("full.db-wal").write_bytes(logged)
    try:
        return _objects(full)
    finally:
        _clear(full)
