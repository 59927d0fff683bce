"""Two laptops: random histories on two to four of them, merged in any order, again, and lived on with."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from benching.options import Options
from benching.reliability.merge_histories import (
    Computer,
    World,
    answers,
    blank_log,
    by_first,
    conflicts,
    content_of,
    joined,
    live,
    settle,
    told,
    trouble_in,
)
from logbook.store.copies import check
from logbook.store.log import Log, open_log
from logbook.store.merging import merge

FULL, QUICK = 10_000, 40
ON_DISK = 50
"""Each so many histories are merged once more by the real call, from files."""

ROUNDS = 2
"""Lived apart, merged everywhere, lived apart again, merged."""


def run(options: Options) -> Iterator[str]:
    """How many histories merged to the same log whatever the order."""
    cases = options.how_many(FULL, quick=QUICK)
    began, found, blank, listed = time.perf_counter(), [], blank_log(), 0
    for n in range(options.first, options.first + cases):
        trouble, conflicts_met = one(random.Random(f"{options.seed} {n}"), blank, on_disk=n % ON_DISK == 0)
        found += [f"history {n}: {said}" for said in trouble]
        listed += conflicts_met
    took_s = time.perf_counter() - began
    said = "; ".join(found[:3]) or f"0 differ or lost; {listed} conflicts listed; {took_s:.0f} s"
    yield f"| two laptops merge to one log whatever the order | {cases} histories | {options.seed} | {said} |"


def one(rng: random.Random, blank: bytes, *, on_disk: bool = False) -> tuple[list[str], int]:
    """One history: what was wrong with it, and how many conflicts it listed."""
    world = World(rng, blank)
    devices = [f"{rng.getrandbits(32):08x}" for _ in range(rng.randint(2, 4))]
    beginning = world.computer(devices[0])
    if rng.random() < 0.8:
        live(world, beginning, rng.randint(1, 12))
    base, before = content_of(beginning.log), by_first(beginning.log)
    trouble: list[str] = []
    listed = 0
    apart = [world.computer(device, base) for device in devices]
    for round_ in range(ROUNDS):
        for computer in apart:
            live(world, computer, rng.randint(0, 10))
        contents = [content_of(computer.log) for computer in apart]
        logs = [computer.log for computer in apart]
        merged = _in_any_order(world, contents, trouble)
        listed += len(conflicts(merged))
        trouble += trouble_in(merged, [by_first(log) for log in logs], before, first=not round_)
        trouble += _union(merged, logs)
        trouble += _settled(world, content_of(merged))
        if on_disk:
            trouble += _from_files(contents, merged)
        trouble += _lived_on(world, apart, contents, merged)
        before = by_first(merged)
    return trouble, listed


def _lived_on(world: World, apart: list[Computer], contents: list[bytes], merged: Log) -> Iterator[str]:
    """One of the computers takes in all others, and tells the same; then all go on from there."""
    one_of_them = world.rng.choice(apart)
    for content in world.rng.sample(contents, len(contents)):
        joined(one_of_them.log, content)
    if told(one_of_them.log) != told(merged):
        yield "one took in all others, and tells otherwise"
    content = content_of(one_of_them.log)
    apart[:] = [world.computer(computer.log.device, content) for computer in apart]


def _in_any_order(world: World, contents: list[bytes], trouble: list[str]) -> Log:
    """Merged one after the other, then in other orders and pairs first: the first of them."""
    first = _chain(world, contents)
    want, all_of_it = answers(first), told(first)
    shuffled = world.rng.sample(contents, len(contents))
    got = answers(_chain(world, shuffled))
    trouble += [f"in another order: {what} differ" for what in want if want[what] != got[what]]
    pairs = [content_of(_chain(world, shuffled[i : i + 2])) for i in range(0, len(shuffled), 2)]
    how, others = world.rng.choice(
        (("in pairs", pairs), ("one twice", [*contents, contents[0]]),
         ("the whole into one", [shuffled[-1], content_of(first)]))
    )  # fmt: skip
    if told(_chain(world, others)) != all_of_it:
        trouble.append(f"merged {how}: another log")
    if joined(first, world.rng.choice(contents)) or told(first) != all_of_it:
        trouble.append("merged twice, and it changed")
    return first


def _chain(world: World, contents: list[bytes]) -> Log:
    log = world.computer("nobody", contents[0]).log
    for content in contents[1:]:
        joined(log, content)
    return log


def _union(merged: Log, logs: list[Log]) -> Iterator[str]:
    """Every event of every side, as it was written, and no other."""
    whole = {row[0]: row[:-1] for row in told(merged)}
    if whole != {row[0]: row[:-1] for log in logs for row in told(log)}:
        yield "an event was lost, changed or invented"
    db = merged.connection
    if db.execute("SELECT 1 FROM event AS e JOIN event AS o ON o.uuid = e.supersedes"
                  " WHERE o.counter >= e.counter").fetchone():  # fmt: skip
        yield "an event stands before what it replaced"


def _settled(world: World, content: bytes) -> Iterator[str]:
    """Each conflict can be settled for any side, and undo opens it again."""
    computer: Computer = world.computer("settler", content)
    log = computer.log
    for conflict in conflicts(log)[:2]:
        was = by_first(log)
        claim = world.rng.choice(conflict.claims)
        wanted = None if claim.says is None else log.version(claim.says).entry
        settle(log, conflict, claim)
        if any(other.root == conflict.root for other in conflicts(log)):
            yield f"{conflict.root} is settled and still listed"
        if wanted is not None and wanted not in log.entries():
            yield f"{conflict.root} was settled for {wanted}, which does not hold"
        if wanted is None and conflict.root in by_first(log):
            yield f"{conflict.root} was settled for none, and one holds"
        log.undo()
        if conflict not in conflicts(log) or by_first(log) != was:
            yield f"{conflict.root}: taking the settling back does not open it again"


def _from_files(contents: list[bytes], merged: Log) -> Iterator[str]:
    """The same by the real call, from files."""
    with TemporaryDirectory() as folder:
        paths = [Path(folder) / f"{n}.db" for n in range(len(contents))]
        for path, content in zip(paths, contents, strict=True):
            path.write_bytes(content)
        with open_log(paths[-1], create=False, device="nobody") as log:
            for path in paths[:-1]:
                merge(log, path)
            if sum(merge(log, path) for path in paths):
                yield "from files: merged twice, and something was new"
            if answers(log) != answers(merged):
                yield "from files: another log than in memory"
        if not check(paths[-1]).sound:
            yield f"from files: not sound: {check(paths[-1]).problems[0]}"
