"""A desk on a fresh copy of the demo, for a look around from the first evening."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from logbook.ui.asking import Desk


@contextmanager
def demo_desk() -> Iterator[Desk]:
    """The demo, its clock standing at its own last evening; gone when it is left.

    Raises:
        LogbookError: It can't be written.
    """
    from logbook.actions.desk import desk_for  # noqa: PLC0415 - only for the demo
    from logbook.actions.files import remember_lever  # noqa: PLC0415 - only for the demo
    from logbook.demo import demo_description_text, write_demo  # noqa: PLC0415 - only for the demo
    from logbook.store.log import open_log  # noqa: PLC0415 - only for the demo

    with TemporaryDirectory(prefix="nightload-demo-") as folder:
        path = Path(folder) / "demo.db"
        at = write_demo(path)
        with open_log(path, create=False, now=lambda: at) as log:
            remember_lever(log, demo_description_text())
        with desk_for(str(path), at=at) as desk:
            yield desk
