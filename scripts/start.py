"""Opens Nightload on the demo log, making what it needs first:  python3 scripts/start.py

With arguments they go to ``nightload`` as they are:  python3 scripts/start.py setup --example
"""

import sys

from python_version import stop_if_too_old


def main(arguments):
    """Make ``.venv`` if it is missing or stale, then become ``nightload``."""
    stop_if_too_old()
    import environment  # noqa: PLC0415 - its syntax needs the Python just asked for

    try:
        python = environment.ready(".venv", extras="")
    except environment.SetUpError as problem:
        sys.stderr.write(str(problem) + "\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("Stopped. Run it again to finish what it began.\n")
        return 130
    at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    return environment.become(python, environment.nightload_command(arguments, at_terminal=at_terminal))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
