"""A matter as the JSON the log keeps, and back."""

from __future__ import annotations

import json
import math
from dataclasses import fields

from logbook.errors import BadInputError
from logbook.matters import KINDS, NAME_OF, Matter


def matter_text(matter: Matter) -> str:
    """The JSON of a matter: its kind first, then what it says; what goes without saying is left out.

    Raises:
        BadInputError: A value is not a finite number.
    """
    import msgspec  # noqa: PLC0415 - 20 ms, and many logs' first screens need none

    usual = {field.name: field.default for field in fields(matter)}
    said = {
        name: value
        for name, value in msgspec.to_builtins(matter).items()
        if getattr(matter, name) != usual[name]
    }
    try:
        return json.dumps({"kind": NAME_OF[type(matter)], **said}, ensure_ascii=False, allow_nan=False)
    except ValueError as error:
        raise BadInputError(
            f"{matter} holds something that is not a number to keep.\nLeave it out, or type it again."
        ) from error


def matter_from(text: str) -> Matter:
    """The matter in JSON written by ``matter_text``.

    Raises:
        BadInputError: It is no JSON, of no known kind, or says something that kind cannot say.
    """
    import msgspec  # noqa: PLC0415 - as above

    try:
        said = json.loads(text, parse_float=_finite, parse_constant=_finite)
        kind = KINDS[said.pop("kind")]
        found: Matter = msgspec.convert(said, type=kind)
        if "\\u" in text:
            json.dumps(said, ensure_ascii=False).encode()  # JSON spells half a sign; no file holds it
    except msgspec.ValidationError as error:
        raise _unreadable(text, f" ({error})") from error
    except KeyError as error:
        raise _unreadable(text, f" (no kind of matter: {error})") from error
    except (ValueError, AttributeError, TypeError, RecursionError) as error:
        raise _unreadable(text, "") from error  # no JSON, another shape, or nested beyond all sense
    return found


def _finite(text: str) -> float:
    """A number that there is: 1e999 would be read as one without end."""
    number = float(text)
    if not math.isfinite(number):
        raise ValueError(f"{text[:20]} is no number to reckon with")
    return number


def _unreadable(text: str, why: str) -> BadInputError:
    return BadInputError(
        f"A matter in the log can't be read{why}: {text[:80]}\n"
        "A newer version of this program may have written it: use that one, or leave the entry out."
    )
