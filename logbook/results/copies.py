"""What became of a copy the program made by itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeCopy:
    """The copy, None where nothing was new since the last; or why there is none."""

    path: Path | None = None
    trouble: str = ""

    @property
    def said(self) -> str:
        """One sentence; "" when there is nothing to say."""
        return f"A copy of the log is kept: {self.path}" if self.path else self.trouble


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidCopy:
    """A dated copy of the log: when it was made, how many events it holds (None where it can't be read)."""

    at: datetime
    path: Path
    events: int | None
