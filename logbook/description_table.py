"""One table of a description file, read key by key with its limits; what was not asked for is refused."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from difflib import get_close_matches

from logbook.errors import DescriptionError

MOST_WHOLE = 10**15
"""Whole numbers above are out of every range; beyond 10³⁰⁸ they would not even compare with one."""

MOST_SHOWN = 80
"""Signs of a wrong value said back."""


class Table:
    """A TOML table that remembers which keys it was asked for, and names itself in every refusal.

    All readers give None for a key that is not there and raise ``DescriptionError`` for a value that is
    of the wrong kind or out of its range.
    """

    def __init__(self, path: str, values: Mapping[str, object], nth: int = 0) -> None:
        self._path = path
        self._values = values
        self._nth = nth
        self._asked: set[str] = set()

    @property
    def where(self) -> str:
        """How an owner finds this table: "[stove]", "[[cabin.surface]] no. 2"."""
        if self._nth:
            return f"[[{self._path}]] no. {self._nth}"
        return f"[{self._path}]" if self._path else "The description"

    def table(self, key: str) -> Table:
        """A table below this one; an empty one when it is not there."""
        value = self._get(key)
        if value is not None and not isinstance(value, Mapping):
            raise self._wrong(key, value, f"a table: write [{self._below(key)}] on a line of its own")
        return Table(self._below(key), value or {})

    def tables(self, key: str) -> tuple[Table, ...]:
        """A list of tables below this one."""
        value = self._get(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(part, Mapping) for part in value):
            raise self._wrong(key, value, f"a list of tables, such as [[{self._below(key)}]]")
        prefix = self._below(key) if not self._nth else f"{self._path} no. {self._nth}: {key}"
        return tuple(Table(prefix, part, nth) for nth, part in enumerate(value, start=1))

    def required(self, key: str, low: float, high: float) -> float:
        """A number that must be there."""
        value = self.number(key, low, high)
        if value is None:
            near = self._nearest(key)
            raise DescriptionError(
                f"{self.where} has no {key}{f' (there is {near})' if near else ''}.\n"
                f"Add {key} = a number from {low:g} to {high:g}."
            )
        return value

    def number(self, key: str, low: float, high: float) -> float | None:
        """A number within limits, both included."""
        value = self._get(key)
        return None if value is None else self._checked(key, value, low, high)

    def numbers(self, key: str, low: float, high: float) -> dict[str, float]:
        """Named numbers in the order written, such as {S = 0.8, M = 1.6}."""
        value = self._get(key)
        if value is None:
            return {}
        if not isinstance(value, Mapping):
            raise self._wrong(key, value, "names with numbers, such as {S = 0.8, M = 1.6}")
        return {str(name): self._checked(f"{key}.{name}", part, low, high) for name, part in value.items()}

    def pair(self, key: str, low: float, high: float) -> tuple[float, float] | None:
        """Two numbers, the lower first, such as [16, 22]."""
        value = self._get(key)
        if value is None:
            return None
        if not isinstance(value, list) or len(value) != 2:
            raise self._wrong(key, value, "two numbers, such as [16, 22]")
        first, second = (self._checked(key, part, low, high) for part in value)
        if first >= second:
            raise self._wrong(key, value, "two numbers, the lower one first")
        return first, second

    def word(self, key: str, choices: Sequence[str]) -> str | None:
        """One of some words; capitals do not matter."""
        value = self.text(key)
        if value is None:
            return None
        for choice in choices:
            if value.casefold() == choice.casefold():
                return choice
        raise self._wrong(key, value, "one of " + ", ".join(f'"{choice}"' for choice in choices))

    def text(self, key: str) -> str | None:
        """Free text."""
        value = self._get(key)
        if value is not None and not isinstance(value, str):
            raise self._wrong(key, value, f'text in quotes: {key} = "..."')
        return value

    def flag(self, key: str) -> bool | None:
        """Yes or no."""
        value = self._get(key)
        if value is not None and not isinstance(value, bool):
            raise self._wrong(key, value, "true or false (no quotes)")
        return value

    def clock(self, key: str) -> time | None:
        """A time of day: "22:30", or TOML's own 22:30:00."""
        value = self._get(key)
        if value is None or isinstance(value, time):
            return value
        if isinstance(value, str):
            for text in (value, "0" + value):  # "6:30" as well as "06:30"
                try:
                    read = time.fromisoformat(text)
                except ValueError:
                    continue
                if read.tzinfo is None:
                    return read
        raise self._wrong(key, value, 'a time of day, such as "22:30"')

    def day(self, key: str) -> date | None:
        """A date; of a month alone, its first day: an alarm's life is never taken as longer than printed."""
        value = self._get(key)
        if value is None:
            return None
        if isinstance(value, datetime):
            return value.date()
        if isinstance(value, date):
            return value
        if isinstance(value, str):
            for text in (value, value + "-01"):
                try:
                    return date.fromisoformat(text)
                except ValueError:
                    continue
        raise self._wrong(key, value, 'a date, such as 2031-05-01 or "2031-05"')

    def done(self) -> None:
        """Refuse what was not asked for.

        Raises:
            DescriptionError: Names the key and the nearest known one.
        """
        for key in self._values:
            if key not in self._asked:
                near = get_close_matches(key, self._asked, n=1, cutoff=0.5)
                raise DescriptionError(
                    f"{self.where} has a key '{key}' that is not known.\n"
                    + (f"Did you mean '{near[0]}'? " if near else "Take it out. ")
                    + f"Known here: {', '.join(sorted(self._asked))}."
                )

    def _get(self, key: str) -> object:
        self._asked.add(key)
        return self._values.get(key)

    def _below(self, key: str) -> str:
        return f"{self._path}.{key}" if self._path else key

    def _nearest(self, key: str) -> str | None:
        unknown = [other for other in self._values if other not in self._asked]
        return next(iter(get_close_matches(key, unknown, n=1, cutoff=0.6)), None)

    def _checked(self, key: str, value: object, low: float, high: float) -> float:
        if isinstance(value, int) and abs(value) > MOST_WHOLE:
            raise self._wrong(key, value, f"from {low:g} to {high:g}")
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise self._wrong(key, value, f"a number from {low:g} to {high:g}, without quotes or unit")
        if not low <= value <= high:
            raise self._wrong(key, value, f"from {low:g} to {high:g}")
        return float(value)

    def _wrong(self, key: str, value: object, must: str) -> DescriptionError:
        try:
            shown = f"'{value}'" if isinstance(value, str) else str(value)
        except ValueError:  # Python writes out no more than 4300 figures
            shown = "a number of thousands of figures"
        if len(shown) > MOST_SHOWN:
            shown = shown[:MOST_SHOWN] + " ..."
        return DescriptionError(
            f"{self.where} {key} is {shown}; it must be {must}.\n"
            "Mend it in the file and run setup again; nothing was changed."
        )
