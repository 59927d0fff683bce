"""Values as they stand on a command line: numbers, and words of terminals that are not UTF-8. Light."""

from __future__ import annotations

import argparse
import re
from argparse import Namespace

from logbook.errors import BadInputError
from logbook.units import c_from_f, f_from_c

_DEGREES = re.compile(r"(?P<number>.*?)\s*°?\s*(?P<unit>[CF])", re.IGNORECASE | re.DOTALL)

_HALVES = re.compile("[\ud800-\udc7f\udd00-\udfff]")
"""Half of a sign that takes two, as Windows may hand over; it stands for no byte."""


def number(text: str) -> float:
    """A number of a flag, with a decimal point or comma.

    Raises:
        ArgumentTypeError: It is none.
    """
    try:
        return float(text.strip().replace(",", ".").replace("−", "-"))
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a number") from None


class Celsius(float):
    """A temperature of a flag, °C; ``bare`` where it was given without a unit."""

    bare = False


def celsius(text: str) -> Celsius:
    """A temperature of a flag: a bare number is in °C, as 25F and 25C say.

    Raises:
        ArgumentTypeError: It is none.
    """
    told = _DEGREES.fullmatch(text.strip())
    value = number(told["number"] if told else text)
    found = Celsius(c_from_f(value) if told and told["unit"] in "Ff" else value)
    found.bare = told is None
    return found


DEGREES = ("outdoor", "inside", "night_low", "line", "outside", "base")
"""Flags that take a temperature, as they are named once read."""


def taken_as_celsius(asked: Namespace, *, temperature: str) -> tuple[str, ...]:
    """A sentence for each bare temperature of somebody who counts in °F: 25 may be warm or a hard frost.

    Args:
        asked: What was asked.
        temperature: The owner's unit, "C" or "F".
    """
    if temperature != "F":
        return ()
    said = []
    for name in DEGREES:
        given = getattr(asked, name, None)
        for value in given if isinstance(given, list) else [given]:
            if isinstance(value, Celsius) and value.bare:
                flag = _flag(name.replace("_", "-"))
                said.append(
                    f"{flag} {value:g} is taken as {value:g} °C, that is {f_from_c(value):.0f} °F. "
                    f"If you mean °F: {flag} {value:g}F"
                )
    return tuple(said)


def readable(word: str) -> str:
    """A word whose bytes are no UTF-8, taken as Latin-1, the commonest other; any other word as it is.

    Python hands such bytes over as lone surrogates, which no log can keep. Where it was told that there is
    nothing but ASCII (LC_ALL=C with UTF-8 mode off) every other byte comes so, UTF-8 among them.
    """
    try:
        word.encode("utf-8")
    except UnicodeEncodeError:
        whole = _HALVES.sub("?", word).encode("utf-8", "surrogateescape")
        try:
            return whole.decode("utf-8")
        except UnicodeDecodeError:
            return whole.decode("latin-1")
    return word


FILES = frozenset({"log", "file", "folder", "html", "write", "outdoor", "damaged", "new"})
"""Flags and words that name a file: a name is whatever the system has, UTF-8 or not."""


def settled(asked: Namespace) -> Namespace:
    """What was asked, every word but the names of files readable.

    Raises:
        BadInputError: A file's name is blank: a variable of a script that is empty names none; or it is a --.
    """
    for name, value in vars(asked).items():
        if name in FILES and value == "":
            raise BadInputError(
                f"The name after {_flag(name)} is blank.\nName it, or leave {_flag(name)} out."
            )
        if name in FILES and isinstance(value, list):  # argparse takes a second -- for no word at all
            raise BadInputError(f"A -- stands where {_flag(name)} should be.\nName the file in its place.")
        if name not in FILES and isinstance(value, str):
            setattr(asked, name, readable(value))
        elif name not in FILES and isinstance(value, list):
            setattr(asked, name, [readable(one) if isinstance(one, str) else one for one in value])
    return asked


def _flag(name: str) -> str:
    return {"file": "FILE", "folder": "DIR", "damaged": "DAMAGED", "new": "NEW.db"}.get(name, f"--{name}")
