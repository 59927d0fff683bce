"""``kill -9`` in miniature: the machinery of the long run (bench.py reliability:kills), a few kills."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest
from broken_worlds import deeds, forked, kills, kills_in_app

FEW = ("entry", "import", "restore", "first entry")


def test_a_command_killed_at_any_moment_did_all_or_nothing(world, broken_place: Path):
    known = [kills.measured(deeds.BY_NAME[name], world, broken_place / "once") for name in FEW]
    tally = kills.kill_commands(known, world, broken_place, count=16, seed=5)
    assert tally.wrong == []
    assert sum(n for (_, when), n in tally.killed.items() if when == "during") >= 2, "they hit something"


def test_a_fresh_process_killed_while_it_writes(world, broken_place: Path):
    known = [kills.measured(deeds.BY_NAME["import"], world, broken_place / "once")]
    tally = kills.kill_commands(known, world, broken_place, count=2, seed=6, fresh=True)
    assert tally.wrong == []
    assert sum(tally.killed.values()) == 2


@pytest.mark.parametrize("sitting", range(2))
def test_the_app_killed_while_lines_are_entered(world, broken_place: Path, sitting: int):
    dice, tally = random.Random(sitting), Counter()
    _, wrong = kills_in_app.sitting_cut(world.copied(broken_place / "app"), dice, sitting, tally)
    assert wrong == ""
    assert sum(tally.values()) == 1


@pytest.mark.parametrize("cut", ["tick_cut", "sheet_cut"])
def test_the_app_killed_while_a_list_is_ticked_or_a_sheet_kept(world, broken_place: Path, cut: str):
    done = getattr(kills_in_app, cut)(world.copied(broken_place / "app"), random.Random(2))
    assert done[1] == ""


def test_what_is_half_done_is_noticed(world, broken_place: Path):
    """The judge itself: half an act, an acknowledged line that is not there, a copy cut short."""
    deed = deeds.BY_NAME["entry"]
    before = deeds.looked_at(world.copied(broken_place / "before"))
    place = world.copied(broken_place / "after")
    assert forked.run_in_child(deed.said(place, entry_id=world.entry_id), env=deeds.home(place)).code == 0
    after = deeds.looked_at(place)

    def judged(found, *, acknowledged):
        return deeds.wrong_with(deed, found, before=before, after=after, acknowledged=acknowledged)

    assert judged(after, acknowledged=True) == judged(before, acknowledged=False) == ""
    assert "acknowledged" in judged(before, acknowledged=True)
    assert "half done" in judged(deeds.Folder(log=deeds.Seen(events=1, digest="x")), acknowledged=False)
    copy = place / "copies" / "cabin.db"
    copy.parent.mkdir()
    copy.write_bytes((place / "copy.db").read_bytes()[:9000])
    assert "copy is not whole" in judged(deeds.looked_at(place), acknowledged=True)
