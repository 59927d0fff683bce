"""What is said when an environment cannot be made: what is wrong, and on the next line what to do. Pure."""

from __future__ import annotations

import errno
import os

NETWORK_SIGNS = (
    "NewConnectionError",
    "NameResolutionError",
    "Temporary failure in name resolution",
    "Connection refused",
    "Network is unreachable",
    "ConnectTimeout",
    "ReadTimeout",
    "timed out",
    "Max retries exceeded",
    "ProxyError",
)
"""What pip says when it reaches nobody."""

CUT_SIGNS = (
    "IncompleteRead",
    "IncompleteDownload",
    "incomplete-download",
    "Connection broken",
    "Connection aborted",
    "ConnectionResetError",
    "RemoteDisconnected",
    "ProtocolError",
    "Download failed",
)
"""What pip says when the answer stops half-way."""

HASH_SIGN = "DO NOT MATCH THE HASHES"
"""What pip says when a file that came is not the one the project was tried with."""

FULL_SIGN = "No space left"

ABOUT_MB = 400
"""What an environment takes, measured: 330 MB with tests, 200 without, and pip's own copies."""


def why_pip_failed(output: str) -> str:
    """Pip's failure in two lines: what is wrong, and what to do; then pip's own last lines."""
    if FULL_SIGN in output:
        return full_message()
    if HASH_SIGN in output:
        return (
            "A package that came is not the one this was tried with: cut short on the way, or changed.\n"
            "Run this again; if it stays so, see that nothing stands between you and the package index.\n"
            + last_lines(output, 6)
        )
    if any(sign in output for sign in CUT_SIGNS):
        return (
            "The network stopped half-way through a package.\n"
            "Run this again when it is back: what came whole is kept.\n" + last_lines(output, 3)
        )
    if any(sign in output for sign in NETWORK_SIGNS):
        return (
            "The packages could not be fetched: no answer from the package index.\n"
            "Connect to the network once and run this again; afterwards Nightload needs none.\n"
            + last_lines(output, 3)
        )
    return (
        "The packages could not be installed.\nRead what pip said, mend it, and run this again:\n"
        + last_lines(output, 12)
    )


def last_lines(output: str, count: int) -> str:
    """Pip's last words, marked as its own."""
    said = [line for line in output.splitlines() if line.strip()][-count:]
    return "\n".join("  pip: " + line.strip() for line in said)


def full_message() -> str:
    """What to do about a full disk."""
    return f"The disk is full.\nFree about {ABOUT_MB} MB and run this again."


def no_pip_message(python: str, executable: str) -> str:
    """What to do about a Python that comes without the means to make environments."""
    return (
        f"This Python ({executable}) cannot make an environment: it came without venv or pip.\n"
        f"Install them (on Debian and its kin: sudo apt install python{python}-venv), then run this again."
    )


def elsewhere_message(folder: str) -> str:
    """What to do when pip says it is done, and the packages are not there."""
    return (
        f"Pip put the packages somewhere else than {folder}.\n"
        "A setting of pip leads there (pip config list shows them): without prefix and root, run this again."
    )


def why_not_written(path: str | os.PathLike[str], problem: OSError) -> str:
    """What to do where a folder or file could not be written."""
    if problem.errno == errno.ENOSPC:
        return full_message()
    return (
        f"{os.fspath(path)} cannot be written: {problem.strerror}.\n"
        "Put the project where you may write, then run this again."
    )
