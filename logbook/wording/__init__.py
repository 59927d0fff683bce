"""Records and results in sentences: one copy for screens, commands and paper."""

from logbook.wording.amounts import (
    air_text,
    chance_text,
    day_text,
    difference_text,
    hours_text,
    mass_text,
    number_text,
    pieces_text,
    range_text,
    span_text,
    temperature_text,
    time_text,
)
from logbook.wording.entries import (
    air_caution,
    line_cautions,
    said,
    sentence,
    sentence_of,
    when_text,
    wood_text,
)

__all__ = [
    "air_caution",
    "air_text",
    "chance_text",
    "day_text",
    "difference_text",
    "hours_text",
    "line_cautions",
    "mass_text",
    "number_text",
    "pieces_text",
    "range_text",
    "said",
    "sentence",
    "sentence_of",
    "span_text",
    "temperature_text",
    "time_text",
    "when_text",
    "wood_text",
]
