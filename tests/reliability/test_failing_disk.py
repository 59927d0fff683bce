"""A disk that fills up, fails or can't be written, in miniature (scripts/bench.py reliability:disk)."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest
from broken_worlds import deeds, disk, disk_in_app, kills_in_app, needs_layer, shim

pytestmark = needs_layer


FAULTS = [
    ("entry", disk.Fault("write", 1, errno.ENOSPC, True)),
    ("entry", disk.Fault("sync", 1, errno.EIO, True)),
    ("entry", disk.Fault("any", 1, errno.EROFS, True)),
    ("import", disk.Fault("write", 40, errno.ENOSPC, True)),
    # Raised as it was, before: taking away what was not there.
    ("restore, ruined", disk.Fault("any", 44, errno.ENOSPC, True)),
    ("restore", disk.Fault("write", 30, errno.ENOSPC, True)),
    # Half a page to print stood under its name, before.
    ("sheet", disk.Fault("write", 10, errno.ENOSPC, True)),
]


def test_every_refusal_says_what_to_do_and_loses_nothing(world, layer, broken_place: Path):
    place = broken_place / "log"
    layered = disk.Layered(layer, place)
    try:
        for name, fault in FAULTS:
            deed = next(d for d in (*deeds.DEEDS, *disk.DEEDS_TOO) if d.name == name)
            before, after, _ = disk.measured(layered, deed, world, place)
            deed.prepare(world.copied(place))
            done = layered.run(deed.said(place, entry_id=world.entry_id), home=place, fault=fault)
            said = disk.wrong_with(deed, done, world, place, before=before, after=after)
            assert said == "", f"{name}, {fault.said}"
    finally:
        layered.close()


def test_the_line_stays_in_the_app_when_the_disk_is_full(world, layer, broken_place: Path):
    place, switch = world.copied(broken_place / "place"), broken_place / "switch"
    window = kills_in_app.opened_fresh(
        place / "cabin.db", home=place,
        env={**shim.around(layer, place, switch=switch), "PYTHONPATH": str(disk.ROOT)},
    )  # fmt: skip
    try:
        assert window.until("write")
        for kind, code in (("write", errno.ENOSPC), ("sync", errno.EIO)):
            assert disk_in_app.faulty(window, switch, f"{kind}:1:{code}:1", f"cut{code}") == ""
    finally:
        window.kill()
    must = {f"cut{errno.ENOSPC}", f"cut{errno.EIO}"}
    assert kills_in_app.judged(place, must=must, may=set(), gone=set()) == ""


@pytest.mark.parametrize("name", ["deleted", "replaced by a copy"])
def test_a_log_taken_away_under_the_open_app(world, broken_place: Path, name: str):
    """Before, the app went on saving into a file that nobody would ever find again."""
    assert disk_in_app.taken_away(world, broken_place, dict(disk_in_app.TAKEN)[name]) == ""
