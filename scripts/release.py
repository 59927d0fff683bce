"""Builds wheel and sdist twice, in other folders, at another time and umask, and compares their bytes.

python3 scripts/release.py [DIR]     the files go to DIR (dist/ without it); ends with 1 when the two differ
Then says what is in them: a wheel must hold the whole package, an sdist what its tests need.
"""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from pathlib import Path

from python_version import stop_if_too_old

ROOT = Path(__file__).resolve().parents[1]

LEFT_BEHIND = shutil.ignore_patterns(
    *(".git", ".venv*", ".hypothesis", "*_cache", "__pycache__", "*.egg-info", "dist", "build", "*.db*")
)
"""What a folder gathers while it is worked in; .gitignore keeps it out, and it need not be copied."""


def build(source, out, *, umask, environ):
    """Wheel and sdist of a folder by the builder installed here; their paths."""
    code = (
        "import os, sys; os.umask(int(sys.argv[2], 8)); from hatchling import build;"
        "print(build.build_sdist(sys.argv[1])); print(build.build_wheel(sys.argv[1]))"
    )
    out.mkdir(parents=True, exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-c", code, str(out), oct(umask)[2:]],
        cwd=source, env=environ, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        sys.stderr.write(done.stdout + done.stderr)
        raise SystemExit("The build failed: see above.")
    return [out / name for name in done.stdout.split()]


def built_twice(folder, *, root=ROOT):
    """The two builds, made as differently as can be: folder, clock, umask, zone, order of the files."""
    first = folder / "one"
    second = folder / "a longer way" / "zwei"
    environ = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"}
    shutil.copytree(root, first, ignore=LEFT_BEHIND)
    shutil.copytree(first, second, copy_function=shutil.copyfile)
    for path in sorted(second.rglob("*"), reverse=True):
        os.utime(path, (1_000_000_000, 1_000_000_000))
        if path.is_file():
            runs = os.access(first / path.relative_to(second), os.X_OK)
            path.chmod(0o700 if runs else 0o600)
    one = build(first, folder / "out one", umask=0o022, environ={**environ, "TZ": "UTC"})
    two = build(
        second, folder / "out two", umask=0o077, environ={**environ, "TZ": "Asia/Tokyo", "LC_ALL": "C"}
    )
    return one, two


def differing(one, two):
    """The names of files that are not the same bytes."""
    return [a.name for a, b in zip(one, two, strict=True) if a.read_bytes() != b.read_bytes()]


def names_in(path):
    """The files in a wheel or sdist; an sdist's own folder left out."""
    if path.suffix == ".whl":
        with zipfile.ZipFile(path) as wheel:
            return sorted(wheel.namelist())
    with tarfile.open(path) as sdist:
        return sorted(one.name.split("/", 1)[1] for one in sdist.getmembers() if one.isfile())


def main(arguments):
    """Build twice, compare, keep the first."""
    stop_if_too_old()
    if importlib.util.find_spec("hatchling") is None:
        import environment  # noqa: PLC0415 - its syntax needs the Python just asked for

        try:
            python = environment.ready(".venv-test", extras="dev")
        except environment.SetUpError as problem:
            sys.stderr.write(str(problem) + "\n")
            return 1
        return environment.run(
            python, ["scripts/release.py", *(str(Path(one).resolve()) for one in arguments)]
        )
    out = Path(arguments[0]) if arguments else ROOT / "dist"
    with tempfile.TemporaryDirectory() as folder:
        one, two = built_twice(Path(folder))
        wrong = differing(one, two)
        for path in one:
            out.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, out / path.name)
            print(
                hashlib.sha256(path.read_bytes()).hexdigest(),
                out / path.name,
                f"({len(names_in(path))} files)",
            )
    if wrong:
        sys.stderr.write(f"Built twice, these differ: {', '.join(wrong)}\n")
        return 1
    print("Built twice, the same bytes.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
