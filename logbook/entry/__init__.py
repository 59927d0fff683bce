"""One typed line to records, or what to type instead. Pure: the clock and the log's state are passed in."""

from logbook.entry.complete import complete
from logbook.entry.line import answered, read_line
from logbook.entry.matters import may_name_supply, may_tell_matter
from logbook.entry.measures import counted_as, day_said, masses_said, own_word_in
from logbook.entry.plan import read_plan
from logbook.entry.understood import Answer, LineAct, LineActKind, Problem, Question, Recount, Understood
from logbook.entry.when import clock_set_by
from logbook.entry.words import PAGES, WORDS, Word
from logbook.setting import Setting, night_of, setting_of

__all__ = [
    "PAGES",
    "WORDS",
    "Answer",
    "LineAct",
    "LineActKind",
    "Problem",
    "Question",
    "Recount",
    "Setting",
    "Understood",
    "Word",
    "answered",
    "clock_set_by",
    "complete",
    "counted_as",
    "day_said",
    "masses_said",
    "may_name_supply",
    "may_tell_matter",
    "night_of",
    "own_word_in",
    "read_line",
    "read_plan",
    "setting_of",
]
