"""Makes the README's pictures from a real run on the demo:  .venv/bin/python scripts/pictures.py [FOLDER]

The real app on the real log with the clock standing at the demo's last evening; Textual writes SVG, Chromium
turns it into PNG. Without Chromium the SVG files stay. Nights reckons every past night once: some minutes.
"""

from __future__ import annotations

import asyncio
import re
import shutil
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

from logbook.actions.desk import desk_for
from logbook.actions.files import remember_lever
from logbook.demo import demo_description_text, write_demo
from logbook.store.log import open_log
from logbook.ui.app import NightloadApp
from logbook.ui.looks import LOOKS

FOLDER = Path(__file__).resolve().parent.parent / "seeds" / "pictures"

SHOTS = (
    ("now", (120, 40), "lamplight", ()),
    ("tonight", (120, 40), "lamplight", ("t",)),
    ("nights", (120, 40), "lamplight", ("n",)),
    ("night", (120, 40), "lamplight", ("n", "v", "down", "down", "v")),
    ("tonight-80", (80, 24), "lamplight", ("t",)),
    ("now-snow", (80, 24), "snow", ()),
)
"""Name, columns and rows, look, and the keys that lead there."""

MOST_BYTES = 250_000
WAIT_S = 1200.0
LETTERS_APART_S = 0.9

CHROMIUM_FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
)  # fmt: skip


async def shot(log: Path, at: object, size: tuple[int, int], look: str, keys: tuple[str, ...]) -> str:
    """One screen of the app as SVG, when no slow answer is awaited any more."""
    with desk_for(str(log), at=at) as desk:  # type: ignore[arg-type]
        app = NightloadApp(desk, look=next(one for one in LOOKS if one.name == look))
        async with app.run_test(size=size) as pilot:
            await settled(app, pilot)
            for key in keys:
                await pilot.press(key)
                await pilot.pause(LETTERS_APART_S)
                await settled(app, pilot)
            await pilot.pause(0.2)
            return app.export_screenshot(simplify=True)


async def settled(app: NightloadApp, pilot: object) -> None:
    """Until what the page needs has come."""
    waited = 0.0
    while waited < WAIT_S:
        await pilot.pause(0.1)  # type: ignore[attr-defined]
        waited += 0.1
        known, page = app.session.known, app.session.page
        missing = page == "nights" and (known.track is None or "nights" in known.stale)
        if known.expect is not None and not missing and not known.stale - {"nights", "cabin", "works"}:
            return
    raise SystemExit(f"No answer within {WAIT_S:.0f} s: {known.stale} {known.troubles}")


def bare(svg: str) -> str:
    """The terminal alone: without the window the library draws around it, and fonts of this machine."""
    svg = re.sub(r"@font-face\s*\{[^}]*\}", "", svg)
    svg = re.sub(r'font-family:\s*[^;"]+', "font-family: DejaVu Sans Mono, monospace", svg)
    at = re.search(r'translate\(([\d.]+), ([\d.]+)\)" clip-path="url\(#[^"]*-clip-terminal', svg)
    size = re.search(r'clip-terminal">\s*<rect x="0" y="0" width="([\d.]+)" height="([\d.]+)"', svg)
    if at is None or size is None:
        raise SystemExit("The library's SVG has changed its shape: look at bare() in scripts/pictures.py.")
    box = " ".join((*at.groups(), *size.groups()))
    return re.sub(r'viewBox="[^"]*"', f'viewBox="{box}"', svg, count=1)


def png(svg: Path, out: Path) -> bool:
    """The picture by Chromium; False where there is none."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if chromium is None:
        return False
    box = re.search(r'viewBox="[\d.]+ [\d.]+ ([\d.]+) ([\d.]+)"', svg.read_text(encoding="utf-8"))
    width, height = (round(float(side)) for side in box.groups()) if box else (1200, 800)
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        subprocess.run(
            [chromium, *CHROMIUM_FLAGS, f"--user-data-dir={profile}", f"--screenshot={out}",
             f"--window-size={width},{height}", svg.as_uri()],
            check=True, capture_output=True, timeout=120,
        )  # fmt: skip
    tighter(out)
    return True


def tighter(png_file: Path) -> None:
    """Pack the same pixels without row filters: flat text packs a quarter smaller so. Nothing is lost.

    Source: the PNG specification, 9.2 (filters), 11.2.2 (IHDR: here 8 bits of red, green, blue).
    """
    whole = png_file.read_bytes()
    at, packed, before = 8, b"", []
    while at < len(whole):
        size = int.from_bytes(whole[at : at + 4], "big")
        kind, body = whole[at + 4 : at + 8], whole[at + 8 : at + 8 + size]
        if kind == b"IDAT":
            packed += body
        elif kind != b"IEND":
            before.append((kind, body))
        at += 12 + size
    header = before[0][1]
    if header[8:] != bytes((8, 2, 0, 0, 0)):
        return  # another kind of PNG: left as it is
    stride = 3 * int.from_bytes(header[:4], "big")
    raw = zlib.decompress(packed)
    rows, above = [], [0] * stride
    for start in range(0, len(raw), stride + 1):
        above = unfiltered(raw[start], raw[start + 1 : start + 1 + stride], above)
        rows.append(b"\0" + bytes(above))
    smaller = zlib.compress(b"".join(rows), 9)
    chunks = [*before, (b"IDAT", smaller), (b"IEND", b"")]
    png_file.write_bytes(whole[:8] + b"".join(chunk(kind, body) for kind, body in chunks))


def unfiltered(kind: int, row: bytes, above: list[int]) -> list[int]:
    """A row's bytes as they were before its filter (none, left, above, mean or nearest of three)."""
    if kind == 0:
        return list(row)
    if kind == 2:
        return [(value + up) & 255 for value, up in zip(row, above, strict=True)]
    out: list[int] = []
    for n, value in enumerate(row):
        left, up, corner = (out[n - 3], above[n], above[n - 3]) if n >= 3 else (0, above[n], 0)
        guess = {1: left, 3: (left + up) // 2}.get(kind)
        if guess is None:
            near = left + up - corner
            guess = min((left, up, corner), key=lambda one, near=near: abs(near - one))
        out.append((value + guess) & 255)
    return out


def chunk(kind: bytes, body: bytes) -> bytes:
    """One PNG chunk with its length and checksum."""
    return len(body).to_bytes(4, "big") + kind + body + zlib.crc32(kind + body).to_bytes(4, "big")


def main(arguments: list[str]) -> int:
    """Every picture; exit code 1 when one is heavier than it may be."""
    folder = Path(arguments[0]).resolve() if arguments else FOLDER
    wanted = arguments[1:]
    folder.mkdir(parents=True, exist_ok=True)
    heavy = False
    with tempfile.TemporaryDirectory(prefix="nightload-pictures-") as temporary:
        log = Path(temporary) / "demo.db"
        at = write_demo(log)
        with open_log(log, create=False, now=lambda: at) as written:
            remember_lever(written, demo_description_text())
        for name, size, look, keys in SHOTS:
            if wanted and name not in wanted:
                continue
            svg, out = folder / f"{name}.svg", folder / f"{name}.png"
            svg.write_text(bare(asyncio.run(shot(log, at, size, look, keys))), encoding="utf-8")
            if not png(svg, out):
                print(f"{svg}: no Chromium here, the SVG stays")
                continue
            svg.unlink()
            heavy |= out.stat().st_size > MOST_BYTES
            print(f"{out}: {out.stat().st_size // 1000} kB")
    return int(heavy)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
