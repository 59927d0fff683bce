"""Upkeep that is due: by date, by wood burned, by days with a fire, whichever comes first."""

from __future__ import annotations

from logbook.upkeep_words import TASK_WORDS, task_named

__all__ = ["TASK_WORDS", "task_named"]
