"""What this machine says of itself: its time zone."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

LOCALTIME = Path("/etc/localtime")
TIMEZONE = Path("/etc/timezone")


def machine_zone(
    now: datetime,
    *,
    environment: Mapping[str, str] = os.environ,
    localtime: Path = LOCALTIME,
    timezone: Path = TIMEZONE,
) -> str:
    """This machine's time zone by its IANA name; else the fixed zone of its present offset.

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
    offset = now.astimezone().utcoffset()
    hours = round(offset.total_seconds() / 3600) if offset else 0
    # The names of the fixed zones count hours west of Greenwich.
    return f"Etc/GMT{-hours:+d}" if hours else "UTC"


def _known(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
