"""Lives the owner's tasks by keys alone in a real terminal (tmux, 80×24):  python3 scripts/tasks.py [names]

Each task runs on a fresh copy of the demo, counts its keys, looks at the screen and into the log, and takes
the time from the last key to the answer. Prints a table in Markdown; exit code 1 when a task was not lived
through. Needs tmux, and this project installed in the Python that runs it (scripts/start.py makes one).
"""

import importlib.util
import shutil
import sys


def main(arguments):
    """Run the tasks asked for, or all."""
    if shutil.which("tmux") is None:
        sys.stderr.write("tmux is not installed: the tasks need a real terminal.\n")
        return 2
    if importlib.util.find_spec("logbook") is None:
        sys.stderr.write("Nightload is not installed here.\nRun: .venv/bin/python scripts/tasks.py\n")
        return 2
    from living.run import run  # noqa: PLC0415 - needs what was just looked for

    return run(arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
