"""An invented log for the tests of upkeep: moments by the site's clock, and the house made of entries."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from logbook.actions.house import stays_lived
from logbook.house import Burned, House, Told
from logbook.records import Alarms, Cabin, Description, Entry, Mark, Site, Stove
from logbook.setting import setting_of

ZONE = "Europe/Oslo"
"""Clocks go back on 25 October 2026 at 3:00, forward on 29 March 2026 at 2:00."""


def at(text: str) -> datetime:
    """A moment by the site's clock, in UTC."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(ZONE)).astimezone(UTC)


def did(text: str, matter: object, **more: object) -> Entry:
    """An entry with a matter."""
    return Entry(at=at(text), matter=matter, **more)  # type: ignore[arg-type]


def wood(text: str, kg: float = 10.0) -> Entry:
    """One load."""
    return Entry(at=at(text), load_kg=kg)


def weekend(day: str, kg: float = 10.0, *, next_day: str) -> list[Entry]:
    """A stay with two loads on two days: arrival at 16:00, left at 15:00 on the second day."""
    return [
        Entry(at=at(f"{day} 16:00"), mark=Mark.ARRIVED),
        wood(f"{day} 18:00", kg),
        wood(f"{next_day} 08:00", kg),
        Entry(at=at(f"{next_day} 15:00"), mark=Mark.LEFT),
    ]


def described(alarms: Alarms | None = None) -> Description:
    """The smallest description there is, in the tests' zone."""
    return Description(
        cabin=Cabin(floor_m2=20.0, volume_m3=48.0),
        stove=Stove(max_load_kg=8.0),
        site=Site(name="Larch Hut", timezone=ZONE),
        alarms=alarms or Alarms(),
    )


def house_from(entries: Iterable[Entry], *, as_of: str, alarms: Alarms | None = None) -> House:
    """The house as the action makes it, without a file."""
    description = described(alarms)
    now = at(as_of)
    rows = tuple(sorted((e for e in entries if e.at <= now), key=lambda e: e.at))
    burned = tuple(
        Burned(at=e.at, kg=e.load_kg, kg_dry=0.82 * e.load_kg, species="birch") for e in rows if e.load_kg
    )
    return House(
        as_of=now,
        setting=setting_of(description),
        description=description,
        entries=rows,
        told=tuple(Told(at=e.at, matter=e.matter, note=e.note or "") for e in rows if e.matter),
        stays=stays_lived(rows, burned, description=description, zone=ZONE, as_of=now),
        burned=burned,
    )
