"""Lines of entry for the fuzzing: sentences of the grammar, bent the way keys, files and spite bend them."""

from __future__ import annotations

from random import Random

from benching.reliability.fuzz_said import SAID

NUMBERS = SAID["NUMBERS"]
"""Numbers as typed, extreme and odd ones: Arabic, Indic, full-width and mathematical digits among them."""

UNITS = SAID["UNITS"]

TIMES = SAID["TIMES"]

PHRASES = SAID["PHRASES"]
"""Parts of lines: ``{n}`` a number, ``{u}`` a unit, ``{w}`` a word, ``{t}`` a time."""

WORDS = SAID["WORDS"]

SIGNS = SAID["SIGNS"]
LOOKALIKES = SAID["LOOKALIKES"]
JOINS = (" ", " ", " ", " ", " ", ", ", "; ", "  ", ". ", "\t", "", "/", " and ", " = ")


def filled(rng: Random, part: str) -> str:
    """A part of a line with its blanks filled in."""
    while "{" in part and any(blank in part for blank in ("{n}", "{u}", "{w}", "{t}")):
        for blank, source in (("{n}", NUMBERS), ("{u}", UNITS), ("{w}", WORDS), ("{t}", TIMES)):
            if blank in part:
                word = rng.choice(source).replace("{", "(") if source is not NUMBERS else number(rng)
                part = part.replace(blank, word, 1)
    return part


def number(rng: Random) -> str:
    """A number: plausible one time in two, else from the odd ones."""
    kind = rng.random()
    if kind < 0.35:
        return str(rng.randint(-30, 60))
    if kind < 0.55:
        return f"{rng.uniform(-40, 100):.{rng.randint(1, 3)}f}"
    if kind < 0.58:
        return str(rng.randint(0, 9)) * rng.choice((3, 17, 40, 400))
    if kind < 0.61:
        return f"{rng.randint(0, 20)}/{rng.randint(0, 9)}"
    return rng.choice(NUMBERS)


def line(rng: Random) -> str:
    """One line: one to five parts of the grammar with a time or none, bent once or not at all."""
    parts = [filled(rng, rng.choice(PHRASES)) for _ in range(rng.choice((1, 1, 2, 2, 3, 5)))]
    if rng.random() < 0.4:
        parts.insert(rng.choice((0, len(parts))), rng.choice(TIMES))
    text = parts[0]
    for part in parts[1:]:
        text += rng.choice(JOINS) + part
    for _ in range(rng.choice((0, 0, 1, 1, 2, 4))):
        text = bent(rng, text)
    return text


def bent(rng: Random, text: str) -> str:
    """The text with one slip: words swapped, dropped, repeated, signs put in, look-alikes, length."""
    words = text.split(" ")
    at = rng.randrange(len(words))
    place = rng.randint(0, len(text))
    slip = rng.randrange(12)
    if slip == 0:
        rng.shuffle(words)
    elif slip == 1:
        del words[at]
    elif slip == 2:
        words[at:at] = [words[at]] * rng.choice((1, 2, 50))
    elif slip == 3:
        words[at] = number(rng)
    elif slip == 4:
        words[at] = rng.choice(WORDS)
    elif slip == 5:
        return text[:place] + rng.choice(SIGNS) + text[place:]
    elif slip == 6:
        return text[:place] + text[place + rng.randint(1, 4) :]
    elif slip == 7:
        return "".join(LOOKALIKES.get(sign, sign) if rng.random() < 0.3 else sign for sign in text)
    elif slip == 8:
        return rng.choice((text.upper(), text.title(), text.swapcase(), text[::-1]))
    elif slip == 9:
        words[at] = filled(rng, rng.choice(PHRASES))
    elif slip == 10 and rng.random() < 0.15:
        return text + rng.choice((" ", "9", "a", "-", "(", "/", ",", "½", " 4m", " note x")) * rng.choice(
            (60, 900, 5000)
        )
    elif slip == 11:
        words.insert(at, rng.choice(TIMES))
    return " ".join(words)
