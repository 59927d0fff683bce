"""Text broken into rows: nothing lost, nothing too wide, no number torn from its unit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from logbook.ui.cells import wrapped

COOLS = "Stove cold, −8 °C out, 18 °C at 22:30: down to 10 °C by 01:30 to 02:30, 40 % open; by Tue 3 Mar."


@pytest.mark.parametrize("width", range(12, 90))
def test_a_number_keeps_its_unit_and_its_month(width: int) -> None:
    lines = wrapped(COOLS, width=width)
    assert not any(line.startswith(("°C", "%", "Mar")) for line in lines), lines
    assert not any(line.endswith("Tue") for line in lines), lines
    assert " ".join(lines) == COOLS


def test_a_unit_after_a_word_is_a_word() -> None:
    assert wrapped("aaaa W", width=4) == ["aaaa", "W"]
    assert wrapped("a 10 May", width=4) != ["a 10", "May"]


@given(st.text(alphabet="ab1 °C%.W−", max_size=80), st.integers(1, 30))
def test_nothing_is_lost_and_no_row_is_too_wide(text: str, width: int) -> None:
    lines = wrapped(text, width=width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(cell_len(line) <= width for line in lines)
