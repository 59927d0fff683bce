"""Names of the upkeep tasks that are shipped, and the words owners use for them.

They stand apart from the reckoning because a typed line is read by them too.
"""

from __future__ import annotations

import re
from functools import lru_cache

TASK_WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("flue look", ("look at flue", "look up the flue", "chimney look", "flue in season")),
    (
        "flue",
        (
            "sweep",
            "sweeping",
            "chimney",
            "chimney sweep",
            "flue sweep",
            "flue inspection",
            "chimney inspection",
            "stovepipe",
            "stove pipe",
            "flue pipe",
            "connector",
            "liner",
            "chimney and connector",
        ),
    ),
    (
        "door rope",
        (
            "gasket",
            "door gasket",
            "stove gasket",
            "rope",
            "rope seal",
            "door seal",
            "door seals",
            "stove rope",
            "paper test",
        ),
    ),
    (
        "baffle",
        (
            "baffle plate",
            "firebrick",
            "firebricks",
            "fire brick",
            "fire bricks",
            "bricks",
            "baffle and firebrick",
            "baffle and bricks",
            "burn tubes",
        ),
    ),
    ("cap", ("flue cap", "chimney cap", "cowl", "spark arrestor", "spark screen")),
    ("extinguisher", ("fire extinguisher", "extinguishers", "fire extinguishers", "extinguisher check")),
    ("extinguisher service", ("extinguisher maintenance", "serviced extinguisher")),
    (
        "extinguisher inside",
        ("extinguisher internal", "extinguisher internal examination", "extinguisher 6 years"),
    ),
    (
        "extinguisher pressure test",
        ("extinguisher hydrotest", "extinguisher hydrostatic test", "extinguisher 12 years"),
    ),
    ("smoke alarm test", ("smoke test", "smoke detector test", "test smoke alarm")),
    (
        "smoke alarm battery",
        (
            "smoke battery",
            "smoke detector battery",
            "battery smoke alarm",
            "battery smoke detector",
            "smoke alarm batteries",
        ),
    ),
    ("smoke alarm", ("smoke detector", "fire alarm", "smoke alarms")),
    ("co alarm test", ("co test", "co detector test", "test co alarm")),
    (
        "co alarm battery",
        (
            "co battery",
            "co detector battery",
            "battery co alarm",
            "battery co detector",
            "co alarm batteries",
        ),
    ),
    (
        "co alarm",
        ("co detector", "carbon monoxide alarm", "carbon monoxide detector", "co alarms"),
    ),
    ("roof", ("roofing", "shingles", "roof sheets", "flashing")),
    ("gutters", ("gutter", "eaves trough", "downpipe", "downspout")),
    (
        "posts",
        (
            "post",
            "piers",
            "pier",
            "posts and piers",
            "posts & piers",
            "footings",
            "foundation",
            "foundation posts",
        ),
    ),
    ("skirting vents", ("vents", "vent", "skirting", "crawl vents", "crawl space vents")),
    (
        "paint",
        (
            "painting",
            "paint and sealing",
            "paint & sealing",
            "sealing",
            "sealant",
            "caulk",
            "caulking",
            "stain",
            "siding",
        ),
    ),
    ("splash", ("water splash", "splashback", "drip line", "roof splash")),
    ("rodents", ("rodent", "mice", "mouse", "mouse holes", "mouse proofing", "rats")),
    ("toilet", ("composting toilet", "outhouse", "privy", "latrine")),
    ("grey water", ("greywater", "gray water", "graywater", "drain pit", "soakaway")),
    ("lamps", ("lamp", "oil lamps", "oil lamp", "wicks", "lanterns")),
    ("hand pump", ("pump", "handpump", "well pump", "pump leathers")),
)
"""Name of each shipped task, then other words for it. A name never changes: logs hold it."""

_NOT_A_WORD = re.compile(r"[^\w&]+")


@lru_cache(maxsize=1024)  # one household has some dozens of them, written for thirty years
def task_named(words: str) -> str:
    """The shipped task these words name; other words, folded, are a task of the owner's own.

    "Chimney" and "the sweep" are "flue"; "North steps" is "north steps".
    """
    folded = " ".join(_NOT_A_WORD.sub(" ", words.casefold()).split()).removeprefix("the ")
    for name, others in TASK_WORDS:
        if folded == name or folded in others:
            return name
    return folded
