"""A line cut into words, with their places in the text as typed."""

from __future__ import annotations

import re
from dataclasses import dataclass

NUMBER = r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)"
"""A number after minus signs and decimal commas were made plain."""

_DEGREES = r"(?:\s?°?\s?[cf]\b|°)?"
_NUMBER_ALONE = r"(?=[+-]?\d{1,2}(?:\.\d+)?(?:°|[cf]\b|[,;]|\s|$))"
_STUCK = (
    r"air:?(?=[\d.¼½¾⅓⅔])"
    rf"|(?:in|out|inside|outside|low|high)(?::(?=[+-]?\d)|{_NUMBER_ALONE})"
)
"""A label with its number straight after it: "in12 out-4", "air1/4", "in:12"."""

_PIECE = re.compile(
    rf"\([^()]*\)|{NUMBER}{_DEGREES}\s*/\s*{NUMBER}(?:\s?°?[cf]\b|°)?(?![\w/])|{_STUCK}|[^\s,;=]+",
    re.ASCII,
)
_SEPARATOR = re.compile(r"[,;:.!?=]")
_TRAILING = ":.!?"
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3"}
_PLAIN = str.maketrans({"−": "-", "–": "-", "‐": "-", "‑": "-", "º": "°", "˚": "°"})
_COMMA_BETWEEN = re.compile(r"(?<![\w.,])(-[0-9]{1,2}),(?=[0-9]{2}(?![\w,.]))")
"""-5,12 is outside and inside: no thermometer here shows hundredths."""
_DECIMAL_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")


@dataclass(frozen=True, slots=True)
class Token:
    """One word: ``text`` as typed, ``word`` made plain (small letters, ASCII minus, decimal point).

    ``parted`` is true when punctuation stands between this word and the one before.
    """

    text: str
    word: str
    start: int
    end: int
    parted: bool


def plain(text: str) -> str:
    """The text with every kind of minus, degree and decimal comma made plain; same length."""
    made = _DECIMAL_COMMA.sub(".", _COMMA_BETWEEN.sub(r"\1 ", text.translate(_PLAIN)))
    lowered = "".join(c.lower() if len(c.lower()) == 1 else c for c in made)
    return lowered if len(lowered) == len(text) else made


def tokens_of(text: str) -> tuple[Token, ...]:
    """Cut a line into tokens. ``-12 / 18`` and ``(3/4 closed)`` are one token each."""
    made = plain(text)
    found: list[Token] = []
    last_end = 0
    for match in _PIECE.finditer(made):
        between = made[last_end : match.start()]
        before = made[last_end - 1 : last_end]
        parted = bool(_SEPARATOR.search(between)) or (bool(found) and before in _TRAILING and before != "")
        word = re.sub(r"\s+", " " if match.group().startswith("(") else "", match.group())
        for sign, written in _VULGAR.items():
            word = word.replace(sign, written)
        word = word.lstrip("@") or word
        if not word.startswith("("):
            word = word.rstrip(_TRAILING)
        if not word:
            continue
        found.append(
            Token(
                text=text[match.start() : match.end()],
                word=word,
                start=match.start(),
                end=match.end(),
                parted=parted,
            )
        )
        last_end = match.end()
    return tuple(found)


def word_at(tokens: tuple[Token, ...], index: int) -> str:
    """The plain word at a place, or an empty one past the end."""
    return tokens[index].word if 0 <= index < len(tokens) else ""


def number_text(value: float) -> str:
    """A number as an owner writes it: no needless zeros, a proper minus sign."""
    figures = f"{value:.6g}" if abs(value) < 999_999.5 else f"{value:.0f}"
    return figures.replace("-", "−")
