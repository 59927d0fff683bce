"""What became of a copy the program made by itself."""

from __future__ import annotations

from dataclasses import dataclass
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
