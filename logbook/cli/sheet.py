"""Paper: sheets as text on the screen, or one HTML file to print."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from logbook.actions.opening import place_of
from logbook.actions.sheets import sheet as sheet_of
from logbook.cli.output import answer, as_of
from logbook.errors import LogFileError
from logbook.paper.document import Size
from logbook.paper.html import pages_html
from logbook.paper.text import page_text
from logbook.store.whole import write_whole

USUAL = ("guest", "weekend")
"""What is printed when nothing is named: what hangs on the wall, and what lies beside the stove."""

FORM_FEED = "\f"


def sheet(asked: Namespace) -> int:
    """Print sheets, or write them into a file."""
    size = Size(asked.size)
    with place_of(asked.log).open() as log:
        at = as_of(asked, log)
        pages = [sheet_of(log, name, as_of=at) for name in asked.names or USUAL]
    if asked.html:
        path = written_to(Path(asked.html), pages_html(pages, size=size))
        said = [f"Written: {path}. Open it in a browser and print it: {len(pages)} of {size.value.upper()}."]
    else:
        texts = [page_text(page, size=size) for page in pages]
        said = [f"\n{FORM_FEED}\n".join(text.rstrip("\n") for text in texts)]
    as_json = {
        "sheets": [{"title": page.title, "text": page_text(page, size=size).splitlines()} for page in pages],
        "written": asked.html,
    }
    return answer(asked, as_json, said)


def written_to(path: Path, text: str) -> Path:
    """Write a page into a file; over an older page, never over anything else.

    Raises:
        LogFileError: It can't be written, or something else is there: the log itself, say.
    """
    try:
        if path.exists() and not _is_page(path):
            raise LogFileError(
                f"{path} is there already and is no page to print: it is left as it is.\n"
                "Name another file: --html FILE"
            )
        write_whole(path, text)
    except OSError as error:
        raise LogFileError(
            f"{path} could not be written: {error.strerror or error}.\nName another file: --html FILE"
        ) from error
    return path


def _is_page(path: Path) -> bool:
    """Whether a file may be written over: a page written before, or an empty file."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        begun = file.read(100).lstrip().lower()
    return not begun or begun.startswith(b"<!doctype html")
