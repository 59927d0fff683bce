"""A notebook kept by tired people: what they see, rounded, late, now and then under the wrong time."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

COLUMNS = (
    *("at", "mark", "indoor_c", "indoor_f", "place", "outdoor_c", "low_c", "high_c", "reset_at"),
    *("load_kg", "load_lb", "pieces", "species", "moisture_pct", "moisture_basis"),
    *("air_open_pct", "window", "coals", "wind", "forecast_low_c", "fire_out"),
    *("alarms_tested", "change", "note", "rh_pct", "matter"),
)

MISDATED = 0.05
"""Share of the rows written under a time some minutes off. Invented."""

KG_PER_LB = 0.45359237


class Notebook:
    """Rows in the order they were written. ``fahrenheit`` while the one who thinks in °F and lb writes."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rows: list[dict[str, str]] = []
        self.fahrenheit = False
        self._rng = rng

    def write(self, at: datetime, **cells: object) -> None:
        """One line; cells that are None are left out."""
        if self._rng.random() < MISDATED and not {"mark", "change"} & set(cells):
            at += timedelta(minutes=int(self._rng.choice([-20, -15, -10, 10, 15, 25])))
        row = {"at": at.strftime("%Y-%m-%dT%H:%M")}
        for name, value in cells.items():
            if value is not None:
                row.update(self._cell(name, value))
        self.rows.append(row)

    def _cell(self, name: str, value: object) -> dict[str, str]:
        if name == "indoor" and isinstance(value, float):
            return self._indoor(value)
        if name == "outdoor" and isinstance(value, float):
            return {"outdoor_c": _halves(value + float(self._rng.normal(0.3, 0.5)), self._rng)}
        if name == "load" and isinstance(value, float):
            if self.fahrenheit:
                return {"load_lb": f"{value / KG_PER_LB:.0f}"}
            return {"load_kg": f"{value:.1f}"}
        return {name: f"{value:g}" if isinstance(value, float) else str(value)}

    def _indoor(self, true_c: float) -> dict[str, str]:
        seen = true_c + float(self._rng.normal(0.0, 0.35))
        if self.fahrenheit:
            return {"indoor_f": f"{seen * 1.8 + 32:.0f}"}
        return {"indoor_c": _halves(seen, self._rng)}

    def save(self, path: Path) -> None:
        """The rows as CSV, one line end everywhere."""
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, COLUMNS, lineterminator="\n", restval="")
            writer.writeheader()
            writer.writerows(self.rows)


def _halves(value: float, rng: np.random.Generator) -> str:
    """Read off a thermometer: to half a degree, or a whole one in a hurry."""
    step = 1.0 if rng.random() < 0.3 else 0.5
    return f"{round(value / step) * step:.1f}"
