"""What reading one line gives back: the record it means, what must be asked, or why it is refused."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from logbook.records import Entry, Typed
from logbook.setting import Setting


class LineActKind(StrEnum):
    """Lines that ask for something instead of recording it."""

    UNDO = "undo"
    REDO = "redo"
    BAND = "band"
    OWN_WORD = "own_word"
    PAGE = "page"


@dataclass(frozen=True, slots=True, kw_only=True)
class Recount:
    """What past loads counted in a measure become when it gets another weight.

    ``count`` of ``word`` since a time were taken for ``were_kg``; ``loads`` are the entries' new whole
    loads, as (event's uuid, kg).
    """

    word: str
    count: float
    since: datetime
    were_kg: float
    become_kg: float
    loads: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAct:
    """A command typed on the line.

    ``name`` is the page, or the owner's new word; ``low_c`` and ``high_c`` belong to a band;
    ``kg`` and ``pieces`` say what one of the new word weighs, and how that was counted; ``sd_kg`` is the
    standard deviation of that weight. ``recount`` is what past loads become; None leaves them as they are.
    """

    kind: LineActKind
    name: str = ""
    low_c: float | None = None
    high_c: float | None = None
    kg: float | None = None
    pieces: str | None = None
    sd_kg: float | None = None
    recount: Recount | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One way to answer a question: the key to press, and what it means in words."""

    key: str
    means: str


ENTER = "enter"
"""The key name of the offered answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something the line leaves open, asked once.

    ``text`` is the sentence to show. ``default`` is the key Enter stands for, None when only a named
    key will do. ``assumed`` is the key whose reading ``Understood`` already shows. A question with
    ``free_text`` also takes a typed time. Where ``blocks_scripts`` is false a script goes on with the
    assumed reading and prints ``text`` as a warning; otherwise it refuses. ``as_typed`` is the key that keeps
    an amount as it stands in the line, where the assumed reading is another: a script's yes means that one.
    """

    kind: str
    text: str
    answers: tuple[Answer, ...]
    assumed: str
    default: str | None = None
    free_text: bool = False
    blocks_scripts: bool = True
    as_typed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A refusal: what is wrong with its numbers, what to type instead, and where in the text it stands."""

    wrong: str
    instead: str
    start: int
    end: int

    @property
    def text(self) -> str:
        """Both sentences on one row."""
        return f"{self.wrong} {self.instead}"

    @property
    def message(self) -> str:
        """Both sentences on two rows, as errors are printed."""
        return f"{self.wrong}\n{self.instead}"


class RefusedError(Exception):
    """Carries a problem out of the reading of a line; never leaves this package."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.text)
        self.problem = problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """One line as understood.

    Exactly one of ``entry``, ``act`` and ``problem`` is set, or none for an empty line; a record or an act
    may leave ``questions`` open. ``more`` holds
    further records of the same moment: a line may name several thermometers, a record only one.
    ``left_over`` is the text that could not be read and stands in the note. ``learned`` are answers to keep
    from now on, as (name, value): ("air_lever_reads", "closed").
    """

    text: str
    now: datetime
    setting: Setting
    zone: str
    entry: Entry | None = None
    more: tuple[Entry, ...] = ()
    typed: tuple[Typed, ...] = ()
    at_typed: str = ""
    questions: tuple[Question, ...] = ()
    left_over: str = ""
    act: LineAct | None = None
    problem: Problem | None = None
    learned: tuple[tuple[str, str], ...] = ()
    answered: tuple[tuple[str, str], ...] = ()

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Everything to be kept, the main record first."""
        return () if self.entry is None else (self.entry, *self.more)

    @property
    def is_empty(self) -> bool:
        """Whether the line says nothing at all."""
        return self.entry is None and self.act is None and self.problem is None
