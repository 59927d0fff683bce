"""Conflicts of a merge as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from logbook.as_json import Json, entry_json, time_json
from logbook.results.conflicts import ToldConflict, ToldSetting


def conflicts_json(conflicts: Sequence[ToldConflict], *, zone: tzinfo) -> list[Json]:
    """Each entry with its sides, the one that holds first; ``entry`` null: it shall be left out."""
    return [
        {
            "id": conflict.ident,
            "sides": [
                {
                    "holds": side.holds,
                    "entry": None if side.entry is None else entry_json(side.entry, zone=zone),
                    "by_undo": side.by_undo,
                    "device": side.device,
                    "written_at": time_json(side.written_at, zone=zone),
                }
                for side in conflict.sides
            ],
        }
        for conflict in conflicts
    ]


def settings_json(told: Sequence[ToldSetting], *, zone: tzinfo) -> list[Json]:
    """Each thing kept as a whole with its versions, the one that holds first."""
    return [
        {
            "id": one.ident,
            "name": one.name,
            "sides": [
                {
                    "holds": side.holds,
                    "text": side.text,
                    "device": side.device,
                    "written_at": time_json(side.written_at, zone=zone),
                }
                for side in one.sides
            ],
        }
        for one in told
    ]
