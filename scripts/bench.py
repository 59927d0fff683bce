"""Every figure of the README with one command:  python3 scripts/bench.py

Parts by name:  python3 scripts/bench.py practice speed
Runs in this Python when the project is installed in it, else in an environment of its own (``.venv-bench``).
Tables go to standard output, ready to paste; what it is doing goes to standard error.
"""

import importlib.util
import os
import sys

from python_version import stop_if_too_old

ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
"""The matrices are small and the parts bring their own processes."""


def main(arguments):
    """Run the parts asked for; the exit code is 0 whatever the figures say."""
    stop_if_too_old()
    for name in ONE_THREAD:
        os.environ.setdefault(name, "1")
    if importlib.util.find_spec("logbook") is not None and importlib.util.find_spec("numpy") is not None:
        from benching.parts import run  # noqa: PLC0415 - needs the environment just looked for

        return run(arguments)
    import environment  # noqa: PLC0415 - its syntax needs the Python just asked for

    try:
        python = environment.ready(".venv-bench", extras="dev,bench")
    except environment.SetUpError as problem:
        sys.stderr.write(str(problem) + "\n")
        return 1
    return environment.run(python, ["scripts/bench.py", *arguments])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
