"""Lint, types and tests, in an environment of their own:  python3 scripts/test.py

Arguments go to pytest:  python3 scripts/test.py tests/test_units.py -k pound
Stops at the first step that fails, with its exit code.
"""

import sys

from python_version import stop_if_too_old


def main(arguments):
    """Make ``.venv-test`` if it is missing or stale, then run every step in it."""
    stop_if_too_old()
    import environment  # noqa: PLC0415 - its syntax needs the Python just asked for

    try:
        python = environment.ready(".venv-test", extras="dev")
    except environment.SetUpError as problem:
        sys.stderr.write(str(problem) + "\n")
        return 1
    except KeyboardInterrupt:
        sys.stderr.write("Stopped. Run it again to finish what it began.\n")
        return 130
    for step in environment.test_steps(arguments):
        environment.say("==> " + " ".join(step))
        code = environment.run(python, ["-m"] + step)  # noqa: RUF005 - read by a Python too old for a star there
        if code:
            environment.say("==> " + step[0] + " ended with " + str(code))
            return code
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
