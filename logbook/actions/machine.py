"""What this machine says of itself: its time zone."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from logbook.setting import Setting

LOCALTIME = Path("/etc/localtime")
TIMEZONE = Path("/etc/timezone")


def machine_zone(
    now: datetime,
    *,
    environment: Mapping[str, str] = os.environ,
    localtime: Path = LOCALTIME,
    timezone: Path = TIMEZONE,
) -> str:
    """This machine's time zone by its IANA name; else one of its present offset.

    Args:
        now: The clock, in the machine's own zone.
        environment: Where TZ may stand.
        localtime: The link that names the zone on most systems.
        timezone: The file that names it on some.
    """
    named = [environment.get("TZ", "").lstrip(":")]
    with suppress(OSError, UnicodeDecodeError):  # many systems have no such file
        named.append(timezone.read_text(encoding="ascii").strip())
    with suppress(OSError):
        named.append(str(localtime.resolve()).partition("zoneinfo/")[2])
    for name in named:
        if name and _known(name):
            return name
    return _of_offset(_offset(now), now)


def setting_here() -> Setting:
    """What a line is read against before there is a description: the clock on this machine's wall."""
    return Setting(zone=machine_zone(datetime.now(UTC)))


def _offset(now: datetime) -> timedelta:
    """How far this machine's clock is ahead of UTC; nothing where TZ says more than a day."""
    try:
        return now.astimezone().utcoffset() or timedelta(0)
    except (ValueError, OverflowError):
        return timedelta(0)


def _of_offset(offset: timedelta, now: datetime) -> str:
    """A zone that is so far from UTC now: a fixed one for whole hours, else the first named one."""
    hours, rest = divmod(offset, timedelta(hours=1))
    if not rest:
        # The names of the fixed zones count hours west of Greenwich.
        fixed = f"Etc/GMT{-hours:+d}" if hours else "UTC"
        return fixed if _known(fixed) else "UTC"  # no zone is further than 14 h from UTC, whatever TZ says
    alike = (
        name for name in sorted(available_timezones()) if now.astimezone(ZoneInfo(name)).utcoffset() == offset
    )
    return next(alike, "UTC")


def _known(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
