"""Writes what is made from the program itself: completions, man page, the table of licences.

python3 scripts/made.py           writes them (a test fails while they differ)
Runs in this Python when the project and its tools are installed in it, else in scripts/test.py's environment.
"""

import importlib.util
import sys
from pathlib import Path

from python_version import stop_if_too_old

PACKAGE = Path(__file__).resolve().parents[1] / "logbook"


def made():
    """Each file's path in the package and its text."""
    from making.completions import completions  # noqa: PLC0415 - needs the environment looked for below
    from making.licences import licences_csv  # noqa: PLC0415 - the same
    from making.man_page import man_page  # noqa: PLC0415 - the same

    texts = {f"shell/nightload.{shell}": text for shell, text in completions().items()}
    return {**texts, "shell/nightload.1": man_page(), "licences.csv": licences_csv()}


def main(arguments):
    """Write every file; say which changed."""
    stop_if_too_old()
    if importlib.util.find_spec("logbook") is None:
        import environment  # noqa: PLC0415 - its syntax needs the Python just asked for

        try:
            python = environment.ready(".venv-test", extras="dev")
        except environment.SetUpError as problem:
            sys.stderr.write(str(problem) + "\n")
            return 1
        return environment.run(python, ["scripts/made.py", *arguments])
    for name, text in made().items():
        path = PACKAGE / name
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
            print(f"written: logbook/{name}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
