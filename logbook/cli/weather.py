"""The command about the weather: days typed and read, degree-days, the own record."""

from __future__ import annotations

from argparse import Namespace
from zoneinfo import ZoneInfo

from logbook.actions import weather as acts
from logbook.as_json.weather import weather_json
from logbook.cli.asked import house_asked, within
from logbook.cli.output import answer
from logbook.cli.width import wrapped
from logbook.wording.weather import weather_text

BASE_C = (-10.0, 30.0)
"""Bases taken, °C; beyond them it is a slip. ASSUMED: published ones lie between 5 and 20 °C."""

SHOW_DAYS = (0, 3660)
"""Days behind shown one by one. ASSUMED: ten years are a long page already."""


def weather(asked: Namespace) -> int:
    """Days known ahead and behind, with degree-days."""
    base = within("--base", asked.base, BASE_C, "°C")
    within("--days", asked.days, SHOW_DAYS, "days")
    house = house_asked(asked)
    found = acts.weather(house, base_c=base, show_days=asked.days)
    as_json = weather_json(found, zone=ZoneInfo(house.setting.zone))
    return answer(asked, as_json, wrapped(weather_text(found, setting=house.setting)))
