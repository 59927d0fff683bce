"""The one table of keys: what is bound, what Help says, and the word that does the same.

Letters act only at rest (nothing being written). None of j, k, d, x begins a word of the entry line, so
a slow typist can't hit them by starting a word; the others are held by the guard in ``line.py``.
"""

from __future__ import annotations

from dataclasses import dataclass

from logbook.ui.cells import Act


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One act: the keys that do it at rest, how they are shown, what it does, and its word."""

    keys: tuple[str, ...]
    shown: str
    says: str
    group: str
    act: Act | None = None
    words: tuple[str, ...] = ()
    """Alone on the line, Enter does the act."""
    typed: tuple[str, ...] = ()
    """Words of the entry line that record the same."""


F_KEYS = tuple(f"f{n}" for n in range(1, 13))

GROUPS = ("write", "now", "mend", "pages", "rows", "lists", "year", "app", "danger")

# Keys without an act are those of the writing line itself (line.py); they stand here for Help.
KEYS: tuple[Key, ...] = (
    Key(keys=(), shown="0-9 − +", says="start a line with that key", group="write"),
    Key(keys=(), shown="Space", says="start a line with words", group="write"),
    Key(keys=(), shown="Enter", says="keeps it", group="write"),
    Key(keys=(), shown="Esc", says="puts it aside", group="write"),
    Key(keys=(), shown="Tab", says="takes the offered word", group="write"),
    Key(keys=(), shown="↑", says="brings the last line back", group="write"),
    Key(
        keys=("j",), shown="j", says="same load and air again", group="now", act=Act("record", "same"),
        words=("same",), typed=("same",),
    ),
    Key(
        keys=("d",), shown="d", says="air turned down", group="now", act=Act("settle", "d"),
        words=("turned down",),
    ),
    Key(
        keys=("k",), shown="k", says="alarms tested", group="now", act=Act("settle", "k"),
        typed=("alarms ok",),
    ),
    Key(
        keys=("o",), shown="o", says="window cracked or shut", group="now", act=Act("window"),
        typed=("window cracked", "window shut"),
    ),
    Key(
        keys=("b",), shown="b", says="going to bed", group="now", act=Act("record", "bed"), typed=("bed",),
    ),
    Key(keys=("w",), shown="w", says="awake", group="now", act=Act("record", "woke"), typed=("woke",)),
    Key(
        keys=("u",), shown="u", says="take back the last thing", group="mend", act=Act("undo"),
        words=("undo",),
    ),
    Key(keys=("r",), shown="r", says="bring it back", group="mend", act=Act("redo"), words=("redo",)),
    Key(keys=("enter",), shown="Enter", says="change a row", group="mend", act=Act("open")),
    Key(keys=("left",), shown="←", says="page before", group="pages", act=Act("turn", "-1")),
    Key(keys=("right",), shown="→", says="next page", group="pages", act=Act("turn", "1")),
    Key(
        keys=("t",), shown="t", says="Tonight", group="pages", act=Act("page", "tonight"),
        words=("tonight",),
    ),
    Key(keys=("n",), shown="n", says="Nights", group="pages", act=Act("page", "nights"), words=("nights",)),
    Key(keys=("c",), shown="c", says="Cabin", group="pages", act=Act("page", "cabin"), words=("cabin",)),
    Key(keys=("y",), shown="y", says="Year", group="pages", act=Act("page", "year"), words=("year",)),
    Key(keys=("escape",), shown="Esc", says="Now", group="pages", act=Act("rest"), words=("now",)),
    Key(keys=("up",), shown="↑", says="up", group="rows", act=Act("move", "-1")),
    Key(keys=("down",), shown="↓", says="down", group="rows", act=Act("move", "1")),
    Key(keys=("pageup",), shown="PgUp", says="far up", group="rows", act=Act("leap", "-1")),
    Key(keys=("pagedown",), shown="PgDn", says="far down", group="rows", act=Act("leap", "1")),
    # Hooks of the Nights page (nights_acts.py).
    Key(
        keys=("v",), shown="v", says="done; on Nights: mark one, one more: both", group="rows",
        act=Act("mark"), words=("mark",),
    ),
    Key(
        keys=("f",), shown="f", says="nights by fire", group="rows", act=Act("filter", "wood"),
        words=("by fire",),
    ),
    Key(
        keys=("z",), shown="z", says="by cold", group="rows", act=Act("filter", "cold"),
        words=("by cold",),
    ),
    Key(
        keys=("s",), shown="s", says="by year", group="rows", act=Act("filter", "year"),
        words=("by year",),
    ),
    Key(
        keys=("tab",), shown="Tab", says="tonight's reasons whole; a new line", group="rows", act=Act("all"),
        words=("reasons", "new line"),
    ),
    Key(
        keys=("x",), shown="x", says="skip, or leave a row out", group="rows", act=Act("skip"),
        words=("skip",),
    ),
    Key(
        keys=("g",), shown="g", says="coming or going", group="lists", act=Act("list"), words=("list",),
    ),
    Key(
        keys=(), shown="packing", says="at home", group="lists", act=Act("list", "packing"),
        words=("packing",),
    ),
    Key(
        keys=(), shown="arriving", says="at the door", group="lists", act=Act("list", "arriving"),
        words=("arriving", "coming"),
    ),
    Key(
        keys=(), shown="leaving", says="before you go", group="lists", act=Act("list", "leaving"),
        words=("leaving", "leave", "going"),
    ),
    Key(
        keys=(), shown="spring", says="opening", group="lists", act=Act("list", "spring"),
        words=("spring",),
    ),
    Key(
        keys=(), shown="autumn", says="closing", group="lists", act=Act("list", "autumn"),
        words=("autumn",),
    ),
    Key(
        keys=(), shown="due", says="upkeep", group="year", act=Act("year", "due"), words=("due", "upkeep"),
    ),
    Key(keys=(), shown="wood", says="the shed", group="year", act=Act("year", "wood"), words=("wood",)),
    Key(
        keys=(), shown="bring", says="supplies", group="year", act=Act("year", "bring"),
        words=("bring", "supplies"),
    ),
    Key(keys=(), shown="damp", says="wet faces", group="year", act=Act("year", "damp"), words=("damp",)),
    Key(
        keys=(), shown="weather", says="days written", group="year", act=Act("year", "weather"),
        words=("weather",),
    ),
    Key(keys=(), shown="stays", says="seasons", group="year", act=Act("year", "stays"), words=("stays",)),
    Key(
        keys=("p",), shown="p", says="paper: copy a weekend in, print", group="app", act=Act("page", "paper"),
        words=("paper",),
    ),
    Key(keys=(), shown="print", says="the emergency page", group="app", act=Act("print"), words=("print",)),
    Key(keys=("l",), shown="l", says="next look", group="app", act=Act("look"), words=("look",)),
    Key(
        keys=("h", "question_mark"), shown="h or ?", says="help", group="app", act=Act("page", "help"),
        words=("help",),
    ),
    Key(
        keys=("q", "ctrl+c", "ctrl+q"), shown="q", says="quit, all is kept", group="app", act=Act("quit"),
        words=("quit",),
    ),
    Key(
        keys=("e", *F_KEYS, "exclamation_mark"), shown="e, any F key, or ! even while writing:",
        says="the emergency page", group="danger", act=Act("page", "emergency"), words=("emergency",),
    ),
)  # fmt: skip

ANYWHERE = frozenset((*F_KEYS, "exclamation_mark", "ctrl+c", "ctrl+q"))
"""Keys that act even while a line is being written."""

LETTERS_GUARDED = frozenset(name for key in KEYS for name in key.keys if len(name) == 1) - {"e"}
"""Letters that a second, different letter takes back (a word was meant).

Not e: on the emergency page a shaking hand's next key must not take the page away.
"""

BOUND: dict[str, Act] = {name: key.act for key in KEYS if key.act for name in key.keys}
"""Key name to act, at rest."""

WORDS_BOUND: dict[str, Act] = {word: key.act for key in KEYS if key.act for word in key.words}
"""Typed word to act, on Enter, when the line is that word and nothing else."""


def act_said(word: str) -> str:
    """What Enter does with a word alone on the line; empty where the line itself is what is kept."""
    key = next((key for key in KEYS if key.act is not None and word in key.words), None)
    if key is None or key.act is None or key.act.name in ("record", "undo", "redo"):
        return ""
    if key.act.name in ("page", "list", "year", "rest"):
        return f"opens {word}"
    return f"does as {key.shown}: {key.says}" if key.keys else f"prints {key.says}"


PAGES = ("now", "tonight", "nights", "cabin", "year")
"""The pages that ← and → turn to, in the order of a day."""

TITLES = {
    "now": "Now",
    "tonight": "Tonight",
    "nights": "Nights",
    "cabin": "Cabin",
    "describe": "Cabin",
    "own page": "Cabin",
    "work": "Cabin",
    "help": "Help",
    "emergency": "Emergency",
    "grounds": "Tonight",
    "paper": "Paper",
    "year": "Year",
    "year part": "Year",
    "list": "List",
    "copying": "Paper",
}

PARENT = {
    "grounds": "tonight",
    "describe": "cabin",
    "own page": "cabin",
    "work": "cabin",
    "copying": "paper",
    "year part": "year",
}
"""Pages that stand in the place of another, and which: ← → turn from that one, Esc goes back to it."""

WHAT_IF = "what if"
"""A line that begins so is reckoned on page Cabin and never kept."""

NOT_IN_WORDS = frozenset(("turn", "move", "leap", "open", "rest"))
"""Acts of moving about, that a typed word need not do."""
