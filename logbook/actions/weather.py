"""The weather typed by hand and read outside: from the log to an answer. No model is run."""

from __future__ import annotations

from logbook.care.stays import season_began
from logbook.care.weather_by_hand import BASE_C, weather_answer
from logbook.house import House
from logbook.results.weather import WeatherAnswer


def weather(house: House, *, base_c: float | None = None, show_days: int = 14) -> WeatherAnswer:
    """Days known around today with their degree-days; to the British base unless another is given, °C."""
    return weather_answer(
        house,
        base_c=BASE_C if base_c is None else base_c,
        show_days=show_days,
        season_began=season_began(house),
    )
