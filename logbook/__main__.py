"""``python -m logbook`` and the ``nightload`` command."""

from __future__ import annotations

import os
import sys

from logbook.cli import main as run

ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""Read by the libraries behind numpy when they are loaded. Our matrices are small: a thread for each core
costs a fifth more processor time and a buffer each, gains nothing, and takes the core that answers keys."""

FOR_OTHERS = 0o077
"""What is taken away from the mode of files made: nobody else on the machine reads a household's evenings."""


def main() -> None:
    """Run the command line and leave with its exit code."""
    # For whatever this program makes, from its first moment: the log, what SQLite keeps beside it, copies,
    # exports, what was learned, the folders. Files that are there keep their mode.
    os.umask(FOR_OTHERS)
    for name in ONE_THREAD:
        os.environ.setdefault(name, "1")
    sys.exit(run())


if __name__ == "__main__":
    main()
