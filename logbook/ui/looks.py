"""The four looks: what each role is drawn with, and how well it stands out.

Two full-colour looks with their own paper and tint; two that keep the terminal's own ground.
Contrast is WCAG 2.x's ratio, (L1 + 0.05) / (L2 + 0.05), with its relative luminance.
Colours were chosen by us for lamplight (no ground brighter than #2c2118 at night) and measured in the tests.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from logbook.ui.cells import Role


@dataclass(frozen=True, slots=True)
class Ink:
    """How a role is drawn. An empty colour is the terminal's own."""

    colour: str = ""
    bold: bool = False
    dim: bool = False
    underline: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look: grounds (empty: the terminal's own) and an ink for every role."""

    name: str
    title: str
    paper: str
    tint: str
    inks: Mapping[Role, Ink] = field(repr=False)

    @property
    def full_colour(self) -> bool:
        """Whether it paints its own ground."""
        return bool(self.paper)


LAMPLIGHT = Look(
    name="lamplight",
    title="lamplight, for the night",
    paper="#17110d",
    tint="#2c2118",
    inks={
        Role.INK: Ink("#dcc9a8"),
        Role.FAINT: Ink("#a48f76"),
        Role.RULE: Ink("#7f6c58"),
        Role.MEASURED: Ink("#f2b36b"),
        Role.EXPECTED: Ink("#c98f57"),
        Role.EDGE: Ink("#93785c"),
        Role.OUTSIDE: Ink("#9fb3bd"),
        Role.SAVED: Ink("#aebd78"),
        Role.ASKS: Ink("#e6bf62"),
        Role.STOP: Ink("#f08e72"),
        Role.FIRST: Ink("#f4e3c3"),
    },
)

SNOW = Look(
    name="snow",
    title="snow-bright, for the day",
    paper="#f6f2ea",
    tint="#e7dcc9",
    inks={
        Role.INK: Ink("#2a241f"),
        Role.FAINT: Ink("#665b51"),
        Role.RULE: Ink("#85796c"),
        Role.MEASURED: Ink("#7c2d05"),
        Role.EXPECTED: Ink("#934d1a"),
        Role.EDGE: Ink("#7f6b52"),
        Role.OUTSIDE: Ink("#1d5570"),
        Role.SAVED: Ink("#3c5d16"),
        Role.ASKS: Ink("#6f4b00"),
        Role.STOP: Ink("#9c1c16"),
        Role.FIRST: Ink("#120d09"),
    },
)

# The ground is the terminal's and unknown: only red and magenta hold on black and on white, and they are
# never alone (bold, and a margin word).
SIXTEEN = Look(
    name="sixteen",
    title="16 colours, on the terminal's own ground",
    paper="",
    tint="",
    inks={
        Role.INK: Ink(),
        Role.FAINT: Ink(dim=True),
        Role.RULE: Ink(dim=True),
        Role.MEASURED: Ink(bold=True),
        Role.EXPECTED: Ink(),
        Role.EDGE: Ink(dim=True),
        Role.OUTSIDE: Ink(),
        Role.SAVED: Ink(),
        Role.ASKS: Ink(bold=True),
        Role.STOP: Ink("red", bold=True),
        Role.FIRST: Ink("magenta", bold=True),
    },
)

NO_COLOUR = Look(
    name="none",
    title="no colour",
    paper="",
    tint="",
    inks={
        **SIXTEEN.inks,
        Role.STOP: Ink(bold=True),
        Role.FIRST: Ink(bold=True, underline=True),
    },
)

LOOKS = (LAMPLIGHT, SNOW, SIXTEEN, NO_COLOUR)


def look_named(name: str | None) -> Look | None:
    """The look of that name, or None."""
    return next((look for look in LOOKS if look.name == name), None)


def look_for(environ: Mapping[str, str], *, asked: str | None = None) -> Look:
    """The look to begin with.

    What was asked for; else no colour when NO_COLOR is set to anything, 16 colours where the terminal
    says it has no more (TERM of a console), otherwise lamplight.
    """
    if environ.get("NO_COLOR"):
        return NO_COLOUR
    chosen = look_named(asked)
    if chosen is not None:
        return chosen
    return SIXTEEN if environ.get("TERM", "") in ("linux", "ansi", "vt100", "vt220") else LAMPLIGHT


def plain_marks_for(environ: Mapping[str, str], *, encoding: str) -> bool:
    """Whether to draw with plain marks only.

    True on the Linux console (it has no braille), where the locale is not UTF-8, and in Chinese, Japanese
    and Korean locales, where ``●`` and the rules are two columns wide in many terminals.
    """
    locale = environ.get("LC_ALL") or environ.get("LC_CTYPE") or environ.get("LANG") or ""
    return (
        environ.get("TERM") == "linux"
        or encoding.lower().replace("-", "") != "utf8"
        or locale[:2] in ("zh", "ja", "ko")
    )


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb", 0 to 1. Source: WCAG 2.1, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    # 0.04045 is the sRGB standard's own threshold; WCAG printed 0.03928, which no 8-bit value tells apart.
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21. Source: WCAG 2.1, definition of contrast ratio."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)
