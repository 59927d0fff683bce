"""The command about conflicts: what two computers made of one entry, and which of it shall hold."""

from __future__ import annotations

from argparse import Namespace

from logbook.actions import joining
from logbook.actions.opening import place_of
from logbook.as_json.conflicts import conflicts_json, settings_json
from logbook.cli.output import answer, zone_of
from logbook.errors import BadInputError


def conflicts(asked: Namespace) -> int:
    """List what is not settled, or settle one entry."""
    with place_of(asked.log).open() as log:
        if asked.id is not None:
            if asked.number is None:
                raise BadInputError(
                    "Which side of it shall hold?\nGive its number: nightload conflicts ID N; "
                    "nightload conflicts lists them."
                )
            sentence = joining.choose(log, asked.id, asked.number)
            return answer(asked, {"sentence": sentence}, [sentence])
        said, zone = joining.listed(log), zone_of(log.descriptions())
        told = conflicts_json(joining.told_conflicts(log), zone=zone)
        kept = settings_json(joining.told_settings(log), zone=zone)
    return answer(asked, {"conflicts": told, "settings": kept}, said)
