"""The invented year and lists of the fake desk: what was kept ticks them. Nothing here is the product's."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from logbook.results.year import Listed, ListedLine, YearPage, YearPart, YearRow

LISTS: dict[str, tuple[str, ...]] = {
    "leaving": (
        "last wood: 1 M, air 1/3 open (2/3 closed)",
        "water drained, both taps left open",
        "ash stays: filled Fri 15:15, not before Tue 20 Jan. Lidded, outdoors, 3 m from anything that burns",
        "fire is out, stove door latched, air and flue left open",
        "mouse traps set",
        "roof vent open",
        "gas off at the bottle",
        "bedding off the walls",
        "write down inside, outside, what to bring, then: left",
    ),
    "arriving": ("alarms tested at the door", "cap looked at from the ground", "droppings looked for"),
    "packing": ("somebody knows where you are", "mouse traps 2"),
    "spring": ("roof looked at from the ground",),
    "autumn": (),
}


class Kept(Protocol):
    """What a list and the year are made from."""

    at: datetime
    kept: list[str]
    empty: bool


def fake_list(desk: Kept, name: str) -> Listed:
    """A list with what was ticked in it and put into it."""
    names = list(LISTS[name])
    for text in desk.kept:
        if text.startswith(f"add {name}: "):
            before, _, words = text.removeprefix(f"add {name}: ").partition("|")
            names.insert(names.index(before) if before in names else len(names), words)
    return Listed(
        name=name,
        as_of=desk.at,
        since="since Fri 16 Jan 15:10",
        lines=tuple(
            ListedLine(name=n, margin=(m := _margin(desk.kept, name, n)), text=n, is_open=not m)
            for n in names
        ),
        above=("Frost ahead, −13 °C outside.",) if name == "leaving" else (),
        below=("Usual cautions: your stove's manual, local codes and licensed practice come before them.",),
        leaves=name in ("leaving", "autumn"),
    )


def _margin(kept: Sequence[str], name: str, line: str) -> str:
    said = [text for text in kept if text in (f"done {name}: {line}", f"skip {name}: {line}")]
    return "" if not said else "21:40" if said[-1].startswith("done") else "skip"


DUE = (
    ("flue", "due since 1 Mar 2026 by date; 1012 of 1000 kg burned", "did flue", False),
    ("door rope", "due by days with a fire; 61 of 60 days with a fire", "did door rope", False),
    ("co alarm", "replace by 31 May 2027 (printed on it)", "replaced co alarm until ", True),
    ("gutters", "by 1 Apr 2026", "did gutters", False),
    ("roof", "never written down", "did roof", False),
    ("posts", "never written down", "did posts", False),
)
WOOD = (
    "Dry enough to burn: 420 kg (360 to 480).",
    "It lasts 20 nights (15 to 26), or 10 weekends (8 to 13) of 2 nights.",
    "Until 1 May there are about 12 nights (9 to 15) to come: 250 kg (180 to 330). That is enough.",
    "birch: 0.9 stere, 420 kg (360 to 480), heat 1600 kWh; 17 % of the wet wood now.",
)
DAYS = tuple(
    YearRow(word=word, part="weather", texts=(said,))
    for word, said in (
        ("ahead", "Ahead"),
        ("", "  Sat 17 Jan     −12 to −4 °C   23.5 degree-days  strong, clear, forecast"),
        ("record", "Your own record outside: coldest −10 °C on Sat 10 Jan 2026."),
    )
)
STAYS = tuple(f"Fri {n} to Sun {n + 2} Jan 2025. K, J." for n in range(1, 29, 3))


def fake_year(desk: Kept) -> YearPage:
    """The year; a task done is due no more."""
    done = set(desk.kept)
    due = [
        YearRow(word="due", part="due", name=name, texts=(said,), line=line, more=more)
        for name, said, line, more in DUE
        if line not in done
    ]
    ash = YearRow(
        word="ash",
        part="ash",
        texts=("Ash filled Fri 16 Jan 15:15: not tipped before Tue 20 Jan 15:15. It stands: by the gate.",),
    )  # fmt: skip
    bring = [
        YearRow(word="bring", part="bring", name="water 14 L", texts=("2 people, 2 nights, your own use",)),
        YearRow(word="bring", part="bring", name="lamp oil 0.5 L", texts=("left note of 11 Jan",),
                line="got lamp oil"),
        YearRow(word="bring", part="bring", name="mouse traps 2", texts=("your note of 10 Jan",),
                line="got mouse traps"),
    ]  # fmt: skip
    bring = [row for row in bring if not row.line or row.line not in done]
    damp = YearRow(
        word="damp",
        part="damp",
        texts=("dew point 9 °C against the window's 6 °C; air before it cools",),
    )
    weather = YearRow(
        word="weather",
        part="weather",
        texts=("Sat −12 to −4 °C strong, clear (forecast); coldest on record −10 °C",),
    )
    season = "2025–26: first fire Fri 3 Oct. 11 stays, 23 nights, 318 kg of wood. Coldest dawn 2.1 °C."
    stays = [
        YearRow(word="season", part="stays", texts=(season,)),
        YearRow(word="before", part="stays", texts=("this weekend: Fri 17 to Sun 19 Jan 2025, 2 nights.",)),
        YearRow(word="guests", part="stays", texts=("“Snow to the sills.” Sun 11 Jan 2026",)),
    ]
    wood = [YearRow(word="wood", part="wood", texts=(said,)) for said in WOOD]
    blocks = tuple(
        YearRow(word="due", part="due", texts=(f"{r.name}: {r.texts[0]}.", "Every year: as reported."),
                line=r.line, more=r.more)
        for r in due
    )  # fmt: skip
    every = tuple(
        YearRow(word="stay", part="stays", texts=(said, "  2 nights; 41 kg of wood.")) for said in STAYS
    )
    return YearPage(
        as_of=desk.at,
        rows=(ash, *due, *wood, *bring, damp, weather, *stays),
        parts=(
            YearPart(name="ash", title="The ash and its clock.", blocks=(ash,)),
            YearPart(name="due", title="Everything, the most pressing first.", blocks=blocks),
            YearPart(name="wood", title="The wood shed, stack by stack.", blocks=tuple(wood)),
            YearPart(name="bring", title="For 2 people and 2 nights.", blocks=tuple(bring)),
            YearPart(name="damp", title="The room's air, its faces, what was seen.", blocks=(damp,)),
            YearPart(name="weather", title="Weather by hand: typed and read.", blocks=DAYS),
            YearPart(name="stays", title="Seasons, other years, every stay.", blocks=(stays[0], *every)),
        ),
    )
