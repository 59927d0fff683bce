"""Writing a file whole or not at all: a disk that fills up on the way leaves the old one, or none."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from logbook.store.connection import sync_folder


def write_whole(path: Path, text: str) -> None:
    """Put a text into a file in the place of what it held; on the disk when it returns.

    What is no plain file (a printer, a pipe) is written to as it is.

    Raises:
        OSError: It can't be written; a file that was there is as it was.
    """
    if path.exists() and not path.is_file():
        path.write_text(text, encoding="utf-8")
        return
    path = path.resolve()  # a link stays one
    half = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        with half.open("w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        half.replace(path)
    except BaseException:
        with suppress(OSError):
            half.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)
