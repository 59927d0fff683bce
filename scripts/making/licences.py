"""The libraries the project is locked to, with their licences, from what each says of itself."""

from __future__ import annotations

import csv
import io
import re
from importlib.metadata import PackageNotFoundError, metadata, requires
from pathlib import Path

from making.locked import PARTS, pins, plain_name

ROOT = Path(__file__).resolve().parents[2]

COLUMNS = ("name", "version", "licence", "for", "why")

SPDX = {
    "Apache Software License": "Apache-2.0",
    "Apache License, Version 2.0": "Apache-2.0",
    "Apache 2.0": "Apache-2.0",
    "BSD License": "BSD-3-Clause",
    "BSD 3-Clause License": "BSD-3-Clause",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Public Domain": "public domain",
    "ISC License (ISCL)": "ISC",
}
"""Older ways to name a licence, as the identifiers of the SPDX list. Each "BSD License" here was looked at:
three clauses."""


def licences_csv() -> str:
    """The table: each locked library once, those the program runs on first."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for part in PARTS:
        for name, version in sorted(pins(part, alone=True).items()):
            writer.writerow((name, version, licence_of(name), part, why(name, part)))
    return out.getvalue()


def licence_of(name: str) -> str:
    """A library's licence as it states it; those for another system only say so in ``ELSEWHERE``."""
    try:
        told = metadata(name)
    except PackageNotFoundError:
        return ELSEWHERE[name]
    if expression := told.get("License-Expression"):
        return str(expression)
    listed = [
        one.split("::")[-1].strip() for one in told.get_all("Classifier") or () if one.startswith("License")
    ]
    stated = (told.get("License") or "").splitlines()[:1]
    for one in (*listed, *stated):
        if one.strip():
            return SPDX.get(one.strip(), one.strip())
    raise ValueError(f"{name} names no licence")


ELSEWHERE = {"colorama": "BSD-3-Clause", "mici": "MIT"}
"""Installed on Windows or for the figures only, so not there to be asked; as each says of itself."""


def why(name: str, part: str) -> str:
    """The reason beside it in pyproject.toml; else who needs it."""
    if reason := reasons().get(name):
        return reason
    for extras in (False, True):
        if needed := sorted(other for other in pins(part) if name in needs(other, extras=extras)):
            return "needed by " + ", ".join(needed)
    raise ValueError(f"nothing needs {name}: run scripts/lock.py")


def reasons() -> dict[str, str]:
    """The remark behind each direct requirement."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    found = re.findall(r'^  "([\w-]+)[^"]*",?\s+# (.+)$', text, re.MULTILINE)
    return {plain_name(name): reason.strip() for name, reason in found}


def needs(name: str, *, extras: bool) -> set[str]:
    """What a library says it needs, with what it needs for something extra only if asked."""
    try:
        listed = requires(name) or []
    except PackageNotFoundError:
        return set()
    return {
        plain_name(re.match(r"[\w.-]+", one).group()) for one in listed if extras or "extra ==" not in one
    }  # type: ignore[union-attr]
