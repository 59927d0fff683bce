"""The command about the wood shed."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions.house import house_of
from logbook.actions.opening import place_of
from logbook.actions.reckoning import known
from logbook.actions.woodshed import has_wood, weekend_by_heat_loss
from logbook.actions.woodshed import wood as wood_in
from logbook.as_json.woodshed import wood_json
from logbook.cli.output import answer, as_of
from logbook.cli.width import wrapped
from logbook.wording.woodshed import all_sentences, wood_text


def wood(asked: Namespace) -> int:
    """Every stack, how long it lasts, what to split by when."""
    place = place_of(asked.log)
    with place.open() as log:
        at = as_of(asked, log)
        told = known(log, as_of=at) if log.descriptions() and not asked.quick else None
        house = house_of(log, as_of=at, read=told.read if told else None)
    by_loss = weekend_by_heat_loss(told, house, cache=place.cache) if told and has_wood(house) else None
    found = wood_in(house, weekend_by_heat_loss_kg=by_loss)
    setting = house.setting
    as_json = wood_json(
        found,
        zone=ZoneInfo(setting.zone),
        basis=setting.moisture_basis,
        sentences=tuple(all_sentences(found, setting=setting)),
    )
    return answer(asked, as_json, wrapped(wood_text(found, setting=setting)))
