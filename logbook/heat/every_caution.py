"""Every safety rule in one table: its name, what is said, where it comes from, and which answer it stands in.

The rules of an evening (``cautions``), of coming and going (``coming_going_cautions``), and the standing ones
(``logbook.cautions``: paper, ash, a line typed). ``tests/test_every_caution.py`` holds each against every
path to a person.
"""

from __future__ import annotations

from dataclasses import dataclass

from logbook.cautions import STANDING
from logbook.heat.cautions import RULES
from logbook.heat.coming_going_cautions import ITEMS


@dataclass(frozen=True, slots=True)
class Caution:
    """One rule. ``stands`` is the scope of an evening's rule, the answer of one of coming and going, or
    "standing"."""

    name: str
    stands: str
    sentence: str
    source: str


TABLE: tuple[Caution, ...] = (
    *(Caution(rule.name, str(rule.scope), rule.sentence, rule.source) for rule in RULES),
    *(Caution(item.name, str(item.where), item.sentence, item.source) for item in ITEMS),
    *(Caution(one.name, "standing", one.sentence, one.source) for one in STANDING),
)
