"""A task in one row: amounts as everywhere else."""

from __future__ import annotations

from datetime import date

from logbook.results.upkeep import Call, CallKind
from logbook.wording.due_rows import _call


def test_a_deposit_in_the_row_is_no_finer_than_a_tenth_of_a_millimetre() -> None:
    """Typed as 1/8 in: 25.4 mm an inch (NIST SP 811, from memory); it stood as 3.175 mm."""
    call = Call(kind=CallKind.DEPOSIT, on=date(2026, 1, 18), deposit_mm=25.4 / 8)
    assert _call(call) == "3.2 mm of deposit found 18 Jan, not swept"
