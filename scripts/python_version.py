"""Stops, in plain words, under a Python too old for the project.

Kept in the syntax of Python 2.7, which some systems still call ``python``: it has to run there to say so.
"""

import sys

OLDEST = (3, 11)


def stop_if_too_old():
    """End the program with what to do, exit code 1, when this Python is older than ``OLDEST``."""
    if sys.version_info >= OLDEST:
        return
    needed = ".".join(str(part) for part in OLDEST)
    have = ".".join(str(part) for part in sys.version_info[:3])
    sys.stderr.write(
        "This is Python " + have + " (" + sys.executable + "); Nightload needs " + needed + " or newer.\n"
        "Install a newer one beside it (your system's packages, or the installer from python.org), then\n"
        "name it:  python" + needed + " " + sys.argv[0] + "\n"
    )
    sys.exit(1)
