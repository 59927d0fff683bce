"""Plain tables in Markdown, and figures beside their aims."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

NOT_MET = "**not met**"


def table(header: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """A table, padded so that it also reads as text."""
    cells = [list(header), *([str(cell) for cell in row] for row in rows)]
    widths = [max(len(row[i]) for row in cells) for i in range(len(header))]

    def line(row: Sequence[str]) -> str:
        return "| " + " | ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) + " |"

    yield line(cells[0])
    yield "|" + "|".join("-" * (width + 2) for width in widths) + "|"
    for row in cells[1:]:
        yield line(row)


@dataclass(frozen=True)
class Aim:
    """A figure beside what it should be: at most ``most``, at least ``least``; with neither, only said."""

    what: str
    value: float
    unit: str = ""
    least: float | None = None
    most: float | None = None
    decimals: int = 2

    @property
    def met(self) -> bool:
        """Whether it is; a figure that is no number is not."""
        above = self.least is None or self.value >= self.least
        return above and (self.most is None or self.value <= self.most) and self.value == self.value

    def row(self) -> list[str]:
        """What, figure, aim, mark."""

        def said(value: float) -> str:
            return f"{value:.{self.decimals}f}{self.unit}"

        if self.least is not None and self.most is not None:
            aim = f"{said(self.least)} to {said(self.most)}"
        elif self.most is not None:
            aim = f"at most {said(self.most)}"
        elif self.least is not None:
            aim = f"at least {said(self.least)}"
        else:
            return [self.what, said(self.value), "–", ""]
        return [self.what, said(self.value), aim, "met" if self.met else NOT_MET]


def aims_table(aims: Sequence[Aim]) -> Iterator[str]:
    """The aims as a table."""
    return table(("figure", "measured", "aim", ""), [aim.row() for aim in aims])
