"""How far a long task is, now and then, on stderr: nothing for what is over in a moment."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, field

QUIET_S = 5.0
"""Between two words on how far it is, and before the first, s. ASSUMED: about when one begins to wonder."""


@dataclass
class Progress:
    """Says "export: 250,000 of 1,000,000 events" to stderr every few seconds."""

    what: str
    things: str
    _last: float = field(default_factory=time.monotonic)

    def __call__(self, done: int, of: int) -> None:
        """Told that so many of so many are done; of 0 means nobody knows yet."""
        now = time.monotonic()
        if now - self._last < QUIET_S:
            return
        self._last = now
        whole = f" of {of:,}" if of else ""
        print(f"{self.what}: {done:,}{whole} {self.things} ...", file=sys.stderr, flush=True)
