"""What was learned, kept to save time: disposable, never merged, exported or backed up.

One small file per result, named by what it was made from; a result of other events, another description
or another model has another name, so nothing here can be out of date. A damaged file counts as missing.
"""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import NamedTemporaryFile

MOST_BYTES = 64 * 1024 * 1024
"""Room the cache may take, bytes. ASSUMED: some hundred fits of 100 to 200 kB; the oldest go first."""

_ENDING = ".learned"
_DIGEST_BYTES = 32


@dataclass(frozen=True, slots=True)
class LearnedCache:
    """Results on the disk under their key. Nothing here raises: without a cache the work is done again."""

    folder: Path
    most_bytes: int = MOST_BYTES

    def get(self, key: str) -> bytes | None:
        """What was put under a key; None when it is not there or not whole."""
        try:
            kept = self._file(key).read_bytes()
        except OSError:
            return None
        digest, blob = kept[:_DIGEST_BYTES], kept[_DIGEST_BYTES:]
        if hashlib.sha256(blob).digest() != digest:
            with suppress(OSError):
                self._file(key).unlink()
            return None
        with suppress(OSError):
            os.utime(self._file(key))  # used now: it goes last
        return blob

    def put(self, key: str, blob: bytes) -> None:
        """Keep a result under a key; the oldest ones make room."""
        with suppress(OSError):
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            with NamedTemporaryFile(dir=self.folder, delete=False) as file:
                file.write(hashlib.sha256(blob).digest() + blob)
            Path(file.name).replace(self._file(key))  # whole or not at all
            self._make_room()

    def clear(self) -> None:
        """Forget everything."""
        for file in self.folder.glob("*" + _ENDING):
            with suppress(OSError):
                file.unlink()

    def _file(self, key: str) -> Path:
        return self.folder / (key + _ENDING)

    def _make_room(self) -> None:
        files = sorted(
            self.folder.glob("*" + _ENDING), key=lambda file: file.stat().st_mtime_ns, reverse=True
        )
        total = 0
        for file in files:
            total += file.stat().st_size
            if total > self.most_bytes and file != files[0]:
                file.unlink()
