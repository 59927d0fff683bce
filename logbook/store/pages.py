"""The rows in the pages of a SQLite file that SQLite itself may refuse to read.

From the published file format (sqlite.org, "Database File Format", sections 1.3, 1.5 to 1.6, 2.1 and 4; from
memory, and held against SQLite's own files by the tests). Nothing is followed from the root down: each page
that looks like a leaf is read for itself, so that a lost root, interior page or index loses no row.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from logbook.store.rows import Row

_MAGIC = b"SQLite format 3\x00"
_SIZES = (4096, 512, 1024, 2048, 8192, 16384, 32768, 65536)
_TABLE_LEAF, _INDEX_LEAF, _INDEX_INTERIOR, _TABLE_INTERIOR = 13, 10, 2, 5
_KNOWN = (_TABLE_LEAF, _INDEX_LEAF, _INDEX_INTERIOR, _TABLE_INTERIOR)
_WAL_MAGICS = {0x377F0682: "<", 0x377F0683: ">"}
_WAL_HEAD, _FRAME_HEAD = 32, 24

MOST_PAYLOAD = 100_000_000
"""The largest row believed, bytes. ASSUMED: a length that damage made up is mostly far larger."""
_MOST_COLUMNS = 200


@dataclass(frozen=True, slots=True)
class Found:
    """A row as a page holds it: ``key`` its rowid, None in a page of an index or a table without rowids."""

    key: int | None
    values: Row


class DamagedError(Exception):
    """What was tried to be read is no cell. Never leaves this package."""


@dataclass(frozen=True)
class Image:
    """A file in memory; ``over`` are later versions of some of its pages, by number from 1."""

    content: bytes
    size: int
    over: Mapping[int, bytes]
    continued: set[int] = field(default_factory=set)
    """Pages that were read as the rest of a long row: nothing begins in them."""

    @cached_property
    def last(self) -> int:
        """The number of the last page, a cut one too."""
        return max(-(-len(self.content) // self.size), max(self.over, default=0))

    def page(self, number: int) -> bytes:
        """A page, filled up with zeros where the file ends."""
        if number in self.over:
            return self.over[number]
        return self.content[(number - 1) * self.size : number * self.size].ljust(self.size, b"\0")

    def rows(self) -> Iterator[Found]:
        """Every row found in any page, in no order, some more than once, some long deleted."""
        strange = []
        for number in range(1, self.last + 1):
            page, at = self.page(number), 100 if number == 1 else 0
            if page[at] in _KNOWN:
                yield from self.rows_of(page, at=at)
            else:
                strange.append(number)
        for number in strange:
            if number not in self.continued:
                yield from self.rows_of(self.page(number))

    def rows_of(self, page: bytes, *, at: int = 0) -> Iterator[Found]:
        """The rows of one page whose head stands at ``at``."""
        kind = page[at] if at < len(page) else 0
        if kind == _TABLE_INTERIOR or not page.strip(b"\0"):
            return
        whole = kind in _KNOWN
        if whole:
            count = int.from_bytes(page[at + 3 : at + 5], "big")
            begin = at + (12 if kind == _INDEX_INTERIOR else 8)
            for place in range(begin, begin + 2 * count, 2):
                offset = int.from_bytes(page[place : place + 2], "big")
                try:
                    yield self.cell(page, offset, kind)
                except DamagedError:
                    whole = False
        if not whole:  # the head or some of it is lost: what lies where it pointed may still be there
            yield from self._anywhere(page)

    def _anywhere(self, page: bytes) -> Iterator[Found]:
        for offset in range(len(page) - 4):
            for kind in (_TABLE_LEAF, _INDEX_LEAF):
                try:
                    yield self.cell(page, offset, kind)
                except DamagedError:
                    continue

    def cell(self, page: bytes, offset: int, kind: int) -> Found:
        """The row in the cell at an offset.

        Raises:
            DamagedError: There is none.
        """
        if kind == _INDEX_INTERIOR:
            offset += 4
        length, offset = _varint(page, offset)
        key = None
        if kind == _TABLE_LEAF:
            key, offset = _varint(page, offset)
        if not 2 <= length <= MOST_PAYLOAD:
            raise DamagedError
        most = self.size - 35 if kind == _TABLE_LEAF else (self.size - 12) * 64 // 255 - 23
        if length <= most:
            return Found(key, _record(page[offset : offset + length], length))
        least = (self.size - 12) * 32 // 255 - 23
        local = least + (length - least) % (self.size - 4)
        if local > most:
            local = least
        payload = page[offset : offset + local]
        following = int.from_bytes(page[offset + local : offset + local + 4], "big")
        return Found(key, _record(payload + self._overflow(following, length - local), length))

    def _overflow(self, number: int, length: int) -> bytes:
        parts: list[bytes] = []
        numbers: list[int] = []
        while length > 0:
            if not 1 <= number <= self.last:
                raise DamagedError
            numbers.append(number)
            page = self.page(number)
            parts.append(page[4 : 4 + length])
            length -= self.size - 4
            number = int.from_bytes(page[:4], "big")
        self.continued.update(numbers)
        return b"".join(parts)


def image_of(content: bytes, wal: bytes = b"") -> tuple[Image, tuple[bytes, ...]]:
    """A file with what its write-ahead log commits, and older or uncommitted versions of pages besides."""
    size = _page_size(content, wal)
    over, rest = _frames(wal, size)
    older = [content[(number - 1) * size : number * size] for number in over if number > 1]
    return Image(content=content, size=size, over=over), (*rest, *older)


def _page_size(content: bytes, wal: bytes) -> int:
    said = int.from_bytes(content[16:18], "big")
    if content[:16] == _MAGIC and (said == 1 or said in _SIZES):
        return 65536 if said == 1 else said
    if int.from_bytes(wal[:4], "big") in _WAL_MAGICS and int.from_bytes(wal[8:12], "big") in _SIZES:
        return int.from_bytes(wal[8:12], "big")
    likely = {size: _likeness(content, size) for size in sorted(_SIZES)}
    # Every second or fourth page of the true size begins like one as well: the smallest that fits.
    return next(size for size, share in likely.items() if share >= 0.75 * max(likely.values()))


def _likeness(content: bytes, size: int) -> float:
    """Share of pages that begin like a page of a table or an index."""
    heads = range(size, len(content), size)
    return sum(content[at] in _KNOWN and not content[at + 7] for at in heads if at + 8 <= len(content)) / max(
        len(heads), 1
    )


def _frames(wal: bytes, size: int) -> tuple[dict[int, bytes], list[bytes]]:
    """What a write-ahead log commits, by page; and every other page in it."""
    committed: dict[int, bytes] = {}
    waiting: dict[int, bytes] = {}
    rest: list[bytes] = []
    order = _WAL_MAGICS.get(int.from_bytes(wal[:4], "big"))
    sums = _checksum(wal[:24], order, (0, 0)) if order else None
    if sums is not None and wal[24:32] != struct.pack(">II", *sums):
        sums = None
    for at in range(_WAL_HEAD, len(wal) - _FRAME_HEAD - size + 1, _FRAME_HEAD + size):
        head, page = wal[at : at + _FRAME_HEAD], wal[at + _FRAME_HEAD : at + _FRAME_HEAD + size]
        if sums is not None and order and head[8:16] == wal[16:24]:
            sums = _checksum(page, order, _checksum(head[:8], order, sums))
            if head[16:24] != struct.pack(">II", *sums):
                sums = None
        else:
            sums = None
        if sums is None:
            rest.append(page)
            continue
        waiting[int.from_bytes(head[:4], "big")] = page
        if head[4:8] != b"\0\0\0\0":  # a commit
            committed |= waiting
            waiting = {}
    return committed, [*rest, *waiting.values()]


def _checksum(data: bytes, order: str | None, sums: tuple[int, int]) -> tuple[int, int]:
    one, two = sums
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for at in range(0, len(words), 2):
        one = (one + words[at] + two) & 0xFFFFFFFF
        two = (two + words[at + 1] + one) & 0xFFFFFFFF
    return one, two


def _varint(page: bytes, at: int) -> tuple[int, int]:
    value = 0
    for count, byte in enumerate(page[at : at + 9]):
        if count == 8:
            value = value << 8 | byte
        else:
            value = value << 7 | byte & 0x7F
            if byte & 0x80:
                continue
        return (value - (1 << 64) if value >> 63 else value), at + count + 1
    raise DamagedError


_WIDTHS = (0, 1, 2, 3, 4, 6, 8, 8, 0, 0)
"""Bytes of a value by its serial type, 0 to 9; from 12 on the type says the length."""


def _record(payload: bytes, length: int) -> Row:
    head, at = _varint(payload, 0)
    if len(payload) != length or not at < head <= length:
        raise DamagedError
    kinds: list[int] = []
    while at < head:
        kind, at = _varint(payload, at)
        if kind < 0 or kind in (10, 11) or len(kinds) == _MOST_COLUMNS:
            raise DamagedError
        kinds.append(kind)
    widths = [_WIDTHS[kind] if kind < 10 else (kind - 12) // 2 for kind in kinds]
    if at != head or head + sum(widths) != length:
        raise DamagedError
    values: list[object] = []
    for kind, width in zip(kinds, widths, strict=True):
        values.append(_value(kind, payload[at : at + width]))
        at += width
    return tuple(values)


def _value(kind: int, raw: bytes) -> object:
    if kind == 0:
        return None
    if kind == 7:
        return struct.unpack(">d", raw)[0]
    if kind in (8, 9):
        return kind - 8
    if kind < 7:
        return int.from_bytes(raw, "big", signed=True)
    return raw.decode("utf-8", "surrogateescape") if kind % 2 else raw
