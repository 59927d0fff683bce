"""Cautions where a row is all there is: the same rules in fewer words, the most dangerous first."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rich.cells import cell_len

MORE = " … Tab"
"""Said at the end when some are left out; Tab tells all, whole."""

UNTRIED = "UNTRIED here: this range is a wide guess."

SHORTER: tuple[tuple[str, str], ...] = (
    (r"A nest was seen in the flue cap .* no fire\. .*", "Nest in flue cap: no fire."),
    (r"The air stands at .+: open it to ([^(]+?)( \(.*\))? or more now, .*", r"Low air, CO: open to \1 now."),
    (r"The flue damper stands at ([^(]+?)( \(.*\))? by the log: .*", r"Damper at \1 gives CO: open it."),
    (r"UNTRIED here: this range is a wide guess\.", "UNTRIED: a wide guess."),
    (r"Air .+ is less than the least clean air, (.+): that .*", r"Under \1 it smoulders and gives CO."),
    (r"The flue damper is closed down, to (.+), while .*", r"Damper to \1: CO on coals, leave it open."),
    (r"Coals give carbon monoxide without smoke: leave .*", "Coals give CO: keep air, flue open."),
    (r"The CO alarm is past .*", "CO alarm too old: replace it."),
    (r"The smoke alarm is past .*", "Smoke alarm too old: replace it."),
    (r"(.+) is over your stove's limit of (.+)\.", r"\1 is over the limit of \2."),
    (r"(.+) is far more than .*\(up to (.+) would .*", r"\1 is far more than tried (\2 in reach)."),
    (r"The stove is cold: .* about (.+) min, .*", r"Cold stove: kindling, air wide \1 min, stay awake."),
    (r"Set a kitchen timer for (.+) min: the air stays .*", r"Timer \1 min: turn air down."),
    (r"Wood went in at (.+?): turn its air down .*", r"Wood of \1: air wide until it burns well."),
    (r"It means getting up in the night, and staying .*", "Up in the night, until it burns well."),
    (r"Water is in the pipes and freezing is possible: .*", "Pipes may freeze: drain or keep them warm."),
    (r"It may pass (.+) while people sleep\.", r"May pass \1 in sleep."),
    (r"It does not fit beside .*: reckoned with (.+) less\.", r"Does not fit: reckoned \1 less."),
    # The alarms' test stands in a row of its own above, on every page.
    (r"Alarms not tested this stay\. .*", "Alarms not tested: test both."),
    (r"The alarms were tested in a room colder .*", "Alarms tested cold: test both again."),
    (r"The wood is described as damp: .*", "Damp wood warms less and soots the flue."),
    (r"The least clean air is assumed to be (.+)\. Look .*", r"Least air \1 is assumed: see the manual."),
    (r"Your stove's manual, local codes and a licensed .*", "Manual, codes, sweep come first."),
)
"""Each rule's sentence and its short form, the most dangerous first. ``heat.cautions`` has the rules."""


def short_care(cautions: Sequence[str], *, columns: int) -> str:
    """As many cautions as one row holds, in fewer words; says that there are more.

    Args:
        cautions: Whole sentences.
        columns: Of the row.
    """
    found = sorted((_short(said) for said in cautions), key=lambda one: one[0])
    out, left = "", len(found)
    for _, said in found:
        joined = f"{out} {said}".strip()
        room = columns - (cell_len(MORE) if left > 1 else 0)
        if out and cell_len(joined) > room:
            break
        out, left = joined, left - 1
    return f"{out}{MORE}" if left else out


def _short(said: str) -> tuple[int, str]:
    """Its place in the order and its short form; one not listed stands before all, whole."""
    for place, (pattern, short) in enumerate(SHORTER):
        if match := re.fullmatch(pattern, said):
            return place, match.expand(short)
    return -1, said
