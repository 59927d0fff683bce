"""The pictures lose no pixel: held against every filter of the PNG specification, written out here."""

from __future__ import annotations

import importlib.util
import random
import zlib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SPEC = importlib.util.spec_from_file_location("pictures", ROOT / "scripts" / "pictures.py")
assert SPEC is not None and SPEC.loader is not None
pictures = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(pictures)


def filtered(kind: int, row: list[int], above: list[int]) -> bytes:
    """PNG specification 9.2, table 9.1, encoder's side; the nearest-of-three by its own words (9.4)."""
    out = []
    for x, value in enumerate(row):
        a = row[x - 3] if x >= 3 else 0
        b = above[x]
        c = above[x - 3] if x >= 3 else 0
        p = a + b - c
        pa, pb, pc = abs(p - a), abs(p - b), abs(p - c)
        paeth = a if pa <= pb and pa <= pc else b if pb <= pc else c
        out.append((value - (0, a, b, (a + b) // 2, paeth)[kind]) % 256)
    return bytes(out)


@pytest.mark.parametrize("kind", range(5))
def test_a_filtered_row_comes_back(kind):
    dice = random.Random(kind)
    row, above = ([dice.randrange(256) for _ in range(60)] for _ in range(2))
    assert pictures.unfiltered(kind, filtered(kind, row, above), above) == row


def test_a_whole_file_keeps_its_pixels_and_its_header(tmp_path):
    dice = random.Random(7)
    pixels = [[dice.choice((20, 21, 200)) for _ in range(3 * 16)] for _ in range(10)]
    raw, above = b"", [0] * 48
    for n, row in enumerate(pixels):
        raw += bytes((n % 5,)) + filtered(n % 5, row, above)
        above = row
    header = (16).to_bytes(4, "big") + (10).to_bytes(4, "big") + bytes((8, 2, 0, 0, 0))
    file = tmp_path / "p.png"
    parts = ((b"IHDR", header), (b"IDAT", zlib.compress(raw)), (b"IEND", b""))
    file.write_bytes(b"\x89PNG\r\n\x1a\n" + b"".join(pictures.chunk(k, b) for k, b in parts))
    pictures.tighter(file)
    got = file.read_bytes()
    assert got[:8] == b"\x89PNG\r\n\x1a\n" and got[16:29] == header
    at = got.index(b"IDAT")
    data = zlib.decompress(got[at + 4 : at + 4 + int.from_bytes(got[at - 4 : at], "big")])
    assert data == b"".join(b"\0" + bytes(row) for row in pixels)


def test_the_readmes_pictures_are_light_and_there():
    for name in ("now", "tonight", "nights", "tonight-80"):
        size = (ROOT / "seeds" / "pictures" / f"{name}.png").stat().st_size
        assert 10_000 < size <= pictures.MOST_BYTES, f"{name}.png is {size} bytes"


def test_the_window_around_the_terminal_is_cut_off():
    svg = (
        '<svg viewBox="0 0 994 635"><style>@font-face { src: url("https://a.example/f") } '
        '.r-matrix { font-family: Fira Code, monospace; }</style>'
        '<clipPath id="r-clip-terminal"> <rect x="0" y="0" width="975.0" height="584.6" /></clipPath>'
        '<g transform="translate(9, 41)" clip-path="url(#r-clip-terminal)"></g></svg>'
    )  # fmt: skip
    got = pictures.bare(svg)
    assert 'viewBox="9 41 975.0 584.6"' in got and "http" not in got and "DejaVu" in got
    with pytest.raises(SystemExit, match="changed its shape"):
        pictures.bare("<svg></svg>")
