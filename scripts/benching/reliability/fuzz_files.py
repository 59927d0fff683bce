"""Files for the fuzzing: tables, descriptions, matters as JSON, and database files, whole and bent."""

from __future__ import annotations

import json
import struct
from random import Random

from benching.reliability.fuzz_lines import SIGNS, WORDS, bent, number
from benching.reliability.fuzz_said import SAID

COLUMNS = SAID["COLUMNS"]
DATES = SAID["DATES"]
CELLS = SAID["CELLS"]


def table(rng: Random) -> bytes:
    """A table of our columns, plausible in most rows, bent in a few, in an encoding or another."""
    names = [rng.choice(COLUMNS) for _ in range(rng.randint(1, 9))]
    if rng.random() < 0.9:
        names = ["at", *dict.fromkeys(name for name in names if name != "at")]
    if rng.random() < 0.1:
        names[rng.choice((0, len(names) - 1, len(names) - 1))] = rng.choice(
            ("", "temp", "AT", "indoor", "\ufeffat", "=1+1", "x" * 300, *WORDS)
        )
    if rng.random() < 0.004:
        names += [f"c{n}" for n in range(rng.choice((3000, 100_000)))]
    mark = rng.choice((",",) * 30 + (";",) * 8 + ("\t",) * 6 + ("|",))
    ends = rng.choice(("\n", "\n", "\r\n", "\r", "\n\n"))
    rows = [mark.join(names)]
    good = rng.random() < 0.5
    for _ in range(rng.choice((1, 1, 2, 3, 5, 8, 12)) if rng.random() < 0.96 else 0):
        cells = [cell(rng, name, good=good) for name in names[:40]]
        if rng.random() < 0.06:
            cells = cells[: rng.randint(0, len(cells))] + [""] * rng.choice((0, 0, 1, 5))
        rows.append(mark.join(quoted(rng, one, mark) for one in cells))
    text = ends.join(rows) + rng.choice((ends, ""))
    for _ in range(rng.choice((0, 0, 0, 1, 1, 3))):
        at = rng.randint(0, len(text))
        text = (
            text[:at]
            + rng.choice(('"', '""', mark, "\n", "#", "'", "\x00", *SIGNS))
            + text[at + rng.randint(0, 2) :]
        )
    coding = rng.choice(
        ("utf-8",) * 30 + ("utf-8-sig",) * 6 + ("utf-16",) * 5 + ("cp1252",) * 5 + ("utf-16-le", "utf-32")
    )
    data = text.encode(coding, "replace")
    return bytes_bent(rng, data) if rng.random() < 0.06 else data


def cell(rng: Random, name: str, *, good: bool) -> str:
    """One cell; a good one says what its column may hold."""
    if not good and rng.random() < 0.15:
        return rng.choice(
            (number(rng), rng.choice(WORDS), rng.choice(DATES), "", "-", "NaN", "1e5", "1" * 5000)
        )
    if name in ("at", "reset_at"):
        form = DATES[rng.randrange(5)] if good or rng.random() < 0.5 else rng.choice(DATES)
        return form.format(h=rng.randint(0, 21), m=rng.randint(0, 59), d=rng.randint(0, 6))
    if name == "matter":
        return matter(rng)
    if name in CELLS:
        return rng.choice(CELLS[name])
    if name in ("note", "change"):
        return " ".join(rng.choice(WORDS) for _ in range(rng.randint(0, 4)))
    if good:
        return rng.choice((f"{rng.uniform(0, 30):.1f}", str(rng.randint(0, 40)), "", "12,5", "18 °C", "-4"))
    return number(rng)


def quoted(rng: Random, text: str, mark: str) -> str:
    needs = any(sign in text for sign in (mark, '"', "\n", "\r"))
    if (needs and rng.random() < 0.9) or rng.random() < 0.05:
        return '"' + text.replace('"', '""') + '"'
    return text


VALUES = SAID["TOML_VALUES"]


def toml(rng: Random, example: str) -> str:
    """A description: the example with some of its lines changed, dropped, doubled, moved or broken."""
    lines = [row.split("  #")[0].rstrip() for row in example.splitlines() if row and not row.startswith("#")]
    for _ in range(rng.choice((0, 1, 1, 1, 2, 3, 6))):
        at = rng.randrange(len(lines))
        key = lines[at].partition("=")[0].strip() if "=" in lines[at] else ""
        slip = rng.randrange(13)
        if slip <= 4 and key:
            lines[at] = f"{key} = {rng.choice(VALUES)}"
        elif slip == 5:
            del lines[at]
        elif slip == 6:
            lines.insert(rng.randint(0, len(lines)), lines[at])
        elif slip == 7:
            name = rng.choice(
                (key or "x", "extra", "a.b.c", '"q k"', "surface", "__class__", "band_f", "timezone_assumed")
            )
            lines.insert(at, f"{name} = {rng.choice(VALUES)}")
        elif slip == 8:
            lines[at] = bent(rng, lines[at])
        elif slip == 9:
            lines.insert(
                at,
                rng.choice(
                    (
                        "[extra]",
                        "[cabin.surface]",
                        "[[cabin]]",
                        "[stove",
                        "[]",
                        "[a.b.c.d]",
                        "[site]",
                        "[[cabin.surface]]",
                        "[cabin.surface.layers]",
                    )
                ),
            )
        elif slip == 10:
            lines[at] = lines[at].replace(
                rng.choice('="[]{}.,0123456789') or "=",
                rng.choice(("", "=", '"', "'", "\x00", "é", "\ufeff")),
                1,
            )
        elif slip == 11 and rng.random() < 0.1:
            deep = rng.choice((200, 1500, 20_000))
            lines.insert(
                at,
                rng.choice(
                    (
                        "x = " + "[" * deep + "]" * deep,
                        "x = " + "{a = " * deep + "1" + "}" * deep,
                        ".".join("a" * min(deep, 1500)) + " = 1",
                        "[" + ".".join("b" * min(deep, 1500)) + "]",
                    )
                ),
            )
        elif slip == 12 and lines:
            lines = lines[: rng.randint(1, len(lines))] if rng.random() < 0.2 else lines
        if not lines:
            break
    return rng.choice(("", "", "", "\ufeff")) + rng.choice(("\n", "\n", "\r\n")).join(lines)


KINDS = SAID["KINDS"]
OF = SAID["MATTER_FIELDS"]
FIELDS = SAID["FIELDS"]
RIGHT = SAID["MATTER_VALUES"]
WRONG: tuple[object, ...] = (
    None,
    True,
    0,
    -1,
    1e308,
    -1e308,
    1e-320,
    10**30,
    10**400,
    "",
    "x",
    "wet",
    "\x00",
    "\u202e",
    "x" * 3000,
    [],
    {},
    [[]],
    {"a": 1},
    ["K"],
    [1, "2"],
    "2026-01-10",
    0.5,
    12,
    "1e5",
    [None],
    -0.0,
    "\x1b[2J",
)


def matter(rng: Random) -> str:
    """A matter as the log keeps it: right in most fields, wrong in some, or no JSON at all."""
    kind = rng.choice(KINDS)
    said: dict[str, object] = {"kind": kind}
    for name in OF[kind].split():
        if rng.random() < 0.85:
            right = RIGHT.get(
                name,
                ("x", "birch")
                if name
                in (
                    "where",
                    "finding",
                    "by",
                    "source",
                    "as_said",
                    "unit",
                    "purpose",
                    "guest_book",
                    "surface",
                    "what",
                    "place",
                    "wind",
                )
                else (1.0, 0, 12.5, -3, 1e308, 1e-320, 400),
            )
            said[name] = rng.choice(right)
    for _ in range(rng.choice((0, 0, 0, 1, 1, 3))):
        said[rng.choice((*FIELDS, *OF[kind].split()))] = rng.choice(WRONG)
    text = json.dumps(said, ensure_ascii=rng.random() < 0.5)
    if rng.random() < 0.12:
        text = rng.choice(
            (
                "[" * 5000 + "]" * 5000,
                '{"kind": "ash", "where": ' + "[" * 100_000,
                text[: rng.randint(0, len(text))],
                text.replace('"', "'"),
                "null",
                "5",
                "[]",
                '"ash"',
                '{"kind": null}',
                '{"kind": []}',
                '{"kind": {"a": 1}}',
                '{"kind": "ash", "kind": "seen"}',
                '{"kind": "level", "item": "x", "amount": NaN}',
                '{"kind": "level", "item": "x", "amount": ' + "9" * 5000 + "}",
                '{"kind": "level", "item": "x", "amount": 1e999}',
                text + "x",
                "\ufeff" + text,
                bent(rng, text),
            )
        )
    return text


def bytes_bent(rng: Random, data: bytes) -> bytes:
    """Bytes with a few of them changed, a stretch cut out, doubled or blank, or the end missing."""
    found = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 8))):
        at = rng.randrange(len(found)) if found else 0
        slip = rng.randrange(6)
        if slip <= 2 and found:
            found[at] = rng.choice((0, 255, rng.randrange(256), found[at] ^ (1 << rng.randrange(8))))
        elif slip == 3:
            del found[at : at + rng.choice((1, 16, 4096))]
        elif slip == 4:
            found[at:at] = found[at : at + rng.choice((1, 16, 4096))]
        else:
            found[at : at + 100] = bytes(min(100, max(0, len(found) - at)))
    return bytes(found[: rng.randint(0, len(found))] if rng.random() < 0.15 else found)


def database_bent(rng: Random, data: bytes) -> list[tuple[int, int]]:
    """Places and values of bytes to change in a database file: its header, a page's header, or anywhere."""
    changes = []
    for _ in range(rng.choice((1, 1, 2, 4, 16))):
        page = 4096 * rng.randrange(max(1, len(data) // 4096))
        at = rng.choice(
            (
                rng.randrange(100),
                page + rng.randrange(12),
                page + rng.randrange(256),
                rng.randrange(len(data)),
            )
        )
        changes.append((min(at, len(data) - 1), rng.choice((0, 1, 255, 127, rng.randrange(256)))))
    if rng.random() < 0.15:
        changes += [
            (60 + n, byte) for n, byte in enumerate(struct.pack(">I", rng.choice((0, 1, 2, 3, 99, 2**31))))
        ]
    return changes
