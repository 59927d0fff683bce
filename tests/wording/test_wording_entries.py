"""Records said back: whole, in the owner's units, with the night they belong to."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import UTC, datetime

import pytest

from logbook.matters import Level
from logbook.records import Basis, Coals, Entry, Mark, OwnUnits, Wind, Window
from logbook.setting import Setting
from logbook.wording import air_caution, said, sentence, sentence_of, when_text

ZONE = "Europe/London"
NOW = datetime(2026, 1, 17, 9, 0, tzinfo=UTC)
SETTING = Setting(zone=ZONE, clean_floor_open_pct=25.0)

FULL = Entry(
    at=NOW,
    outdoor_c=-11.0,
    indoor_c=18.0,
    low_c=9.0,
    high_c=21.0,
    reset_at=datetime(2026, 1, 16, 22, 30, tzinfo=UTC),
    load_kg=6.4,
    pieces="4M",
    species="birch",
    moisture_pct=18.0,
    moisture_basis=Basis.WET,
    kindling=True,
    air_open_pct=25.0,
    flue_damper_open_pct=50.0,
    window=Window.CRACKED,
    coals=Coals.FEW,
    other_heat_w=1500.0,
    rh_pct=55.0,
    wind=Wind.STRONG,
    forecast_low_c=-13.0,
    mark=Mark.BED,
    fire_out=True,
    note="mouse",
)


def test_everything_a_record_holds_is_said():
    assert said(FULL, SETTING) == (
        "out −11 °C, in 18.0 °C, low 9 °C, high 21 °C, since Fri 16 Jan 22:30, forecast low −13 °C, "
        "humidity 55 %, wind strong, "
        "4 M 6.4 kg birch, kindling, moisture 18 % wet, air 1/4 open (3/4 closed), "
        "damper 1/2 open (1/2 closed), window cracked, coals few, fire out, heater 1500 W, bed, note mouse"
    )


@pytest.mark.parametrize(
    "name",
    [one.name for one in fields(Entry) if one.name not in {"at", "flags", "place", "moisture_basis"}],
)
def test_no_field_is_forgotten(name):
    """Each field alone changes the sentence: a new one can't be kept unseen."""
    level = Level(item="water", amount=14.0, unit="L")
    full = replace(FULL, change="new gasket", alarms_tested=True, matter=level)
    empty = {bool: False}.get(type(getattr(full, name)))
    assert said(replace(full, **{name: empty}), SETTING) != said(full, SETTING)


WHEN = [
    ("2026-01-17T09:00", "09:00"),
    ("2026-01-17T07:00", "07:00"),
    ("2026-01-17T01:30", "Sat 01:30, night of Fri 16:"),
    ("2026-01-16T23:00", "Fri 16 Jan 23:00, night of Fri 16:"),
    ("2026-01-16T14:10", "Fri 16 Jan 14:10:"),
    ("2026-01-16T02:00", "Fri 16 Jan 02:00, night of Thu 15:"),
    ("2025-02-14T22:00", "Fri 14 Feb 2025 22:00, night of Fri 14:"),
]


@pytest.mark.parametrize(("at", "text"), WHEN)
def test_when_is_said_so_that_the_night_is_plain(at, text):
    assert when_text(datetime.fromisoformat(at).replace(tzinfo=UTC), zone=ZONE, now=NOW) == text


def test_in_the_small_hours_what_happens_now_needs_no_day():
    now = datetime(2026, 1, 17, 2, 10, tzinfo=UTC)
    assert when_text(now, zone=ZONE, now=now) == "02:10"


def test_the_sites_zone_not_utc_is_shown():
    at = datetime(2026, 1, 16, 18, 30, tzinfo=UTC)
    here = replace(SETTING, zone="Asia/Kathmandu")
    assert sentence(Entry(at=at, indoor_c=18.0), here, now=at) == "00:15 in 18.0 °C"


def test_owners_units():
    american = replace(SETTING, units=OwnUnits(temperature="F", mass="lb"))
    entry = Entry(at=NOW, outdoor_c=-12.0, indoor_c=18.3333333, load_kg=4.08233133)
    # -12 °C = 10.4 °F, 65 °F, 9 lb: NIST SP 811
    assert said(entry, american) == "out 10.4 °F, in 65 °F, 9.0 lb"


def test_places_share_the_sentence():
    pair = (Entry(at=NOW, indoor_c=18.0), Entry(at=NOW, indoor_c=21.0, place="loft"))
    assert sentence_of(pair, SETTING, now=NOW) == "09:00 in 18.0 °C, in loft 21.0 °C"
    assert sentence_of((), SETTING, now=NOW) == ""


def test_air_below_the_floor_has_its_limit_said_not_a_scolding():
    low = Entry(at=NOW, air_open_pct=10.0)
    assert air_caution(low, SETTING) == (
        "1/4 open (3/4 closed) is the least clean air on your lever: not lower while wood or coals glow."
    )
    assert air_caution(replace(low, air_open_pct=25.0), SETTING) is None
    assert air_caution(replace(low, fire_out=True), SETTING) is None, "an empty stove may be shut"
    assert air_caution(Entry(at=NOW), SETTING) is None
