"""What the fuzzing is made of: numbers, phrases, cells and values, plain and odd (``fuzz_words.json``)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any


def _whole(found: dict[str, Any]) -> Any:
    """A long value is written as what is repeated in it, and how often."""
    if "repeat" not in found:
        return found
    return found.get("before", "") + found["repeat"] * found["times"] + found.get("after", "")


SAID: dict[str, Any] = json.loads(
    Path(__file__).with_name("fuzz_words.json").read_text(encoding="utf-8"), object_hook=_whole
)
"""Lists by name. Half signs (surrogates) stand in it as escapes: they are bytes that are no UTF-8."""
