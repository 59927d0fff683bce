"""The owner's own measures of wood as the log keeps them; ``own_measures`` has what is done with them.

A module of its own: they belong to what every line is read against, and the first frame waits for that.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from logbook.errors import BadInputError
from logbook.setting import Setting

if TYPE_CHECKING:
    from logbook.store.log import Log

OWN_WORDS = "own_words"
"""Setting: the owner's own measures, a JSON object of word and {"kg", "sd_kg", "as_said", "former_kg"}; logs
of before have the kg alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What one of a measure weighs, kg; how surely, and how it was said, where that was kept.

    ``former_kg`` are the weights it had before.
    """

    kg: float
    sd_kg: float | None = None
    as_said: str = ""
    former_kg: tuple[float, ...] = ()


def own_measures(log: Log) -> dict[str, Measure]:
    """The measures kept, by word.

    Raises:
        BadInputError: They can't be read.
    """
    kept = log.setting(OWN_WORDS)
    if not kept:
        return {}
    try:
        return {str(word): _measure(value) for word, value in json.loads(kept).items()}
    except (ValueError, AttributeError, TypeError, KeyError, RecursionError) as error:
        raise BadInputError(
            f"The measures kept in this log can't be read: {kept[:60]}.\n"
            "A newer version of this program may have written them: use that one, or take it back: undo"
        ) from error


def with_measures(log: Log, setting: Setting) -> Setting:
    """The setting with the measures kept."""
    kept = own_measures(log)
    return replace(
        setting,
        own_words=tuple((word, measure.kg) for word, measure in kept.items()),
        own_words_sd_kg=tuple((word, m.sd_kg) for word, m in kept.items() if m.sd_kg is not None),
    )


def _measure(value: object) -> Measure:
    if not isinstance(value, dict):
        return Measure(kg=float(str(value)))
    sd_kg = value.get("sd_kg")
    return Measure(
        kg=float(value["kg"]),
        sd_kg=None if sd_kg is None else float(sd_kg),
        as_said=str(value.get("as_said", "")),
        former_kg=tuple(float(kg) for kg in value.get("former_kg", ())),
    )
