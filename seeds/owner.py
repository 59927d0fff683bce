"""Two people and their weekend: when they light, load, look, open a window, write it down or forget to.

Their rules are invented. They learn slowly: the first winter they fill the stove for the night and
shut it down; by the second they have found out that less wood burns better.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
from house import House
from notebook import Notebook
from stove import Stove
from weather import Weather

PIECE_KG = {"S": 0.6, "M": 1.2, "L": 2.2}
PIECE_SPREAD = 0.14
LIMIT_KG = 8.0


@dataclass(frozen=True)
class Plan:
    """A weekend as it is meant to go, and what goes wrong in it."""

    arrive: datetime
    nights: int
    bed_kg: tuple[float, ...]
    bed_air: tuple[int, ...]
    moisture_wet: float = 0.17
    crack_at_bed: int | None = None
    forgets_air: int | None = None
    night_load: int | None = None
    soaked: int | None = None
    """The night whose wood came from under the snow: laid on and shut in at once, it goes out."""
    silent: int | None = None
    fahrenheit: bool = False
    stops_before_bed: bool = False
    notes: dict[int, str] = field(default_factory=dict)


class Weekend:
    """The cabin while people are in it. ``trace`` keeps the truth, for a look at the outcome only."""

    def __init__(
        self, plan: Plan, house: House, weather: Weather, book: Notebook, rng: np.random.Generator
    ) -> None:
        self.plan, self.house, self.weather, self.book, self.rng = plan, house, weather, book, rng
        self.now = plan.arrive
        self.stove = Stove(house.air_c)
        self.window = "shut"
        self.trace: list[tuple[datetime, float, float, float, float]] = []
        self.low_c = self.high_c = house.air_c
        self.reset_at = plan.arrive

    def live(self) -> None:
        """From the door in to the door out."""
        self.book.fahrenheit = False
        self._arrive()
        for night in range(self.plan.nights):
            self.book.fahrenheit = self.plan.fahrenheit and night == 1
            bed = self._clock(22, 30, spread=25)
            stops = self.plan.stops_before_bed and night == self.plan.nights - 1
            early = timedelta(minutes=50 if stops else 8)
            self._evening(bed - early, quiet=night == self.plan.silent)
            if stops:
                self._last_look()
                return
            self._to_bed(night)
            self._sleep(night)
            self._morning(last=night == self.plan.nights - 1)

    # what they do

    def _arrive(self) -> None:
        self._write(mark="arrived", indoor=self.house.air_c, outdoor=self._outdoor_c(), wind=self._wind())
        if self.plan.notes.get(0):
            self._write(note=self.plan.notes[0])
        self._wait(9)
        self._light()
        if self.rng.random() < 0.75:
            self._write(alarms_tested="yes")
        self._wait(22)
        self._load(2.6, air=None)

    def _light(self) -> None:
        """Kindling and two small ones, lever wide open."""
        self.stove.air_open = 1.0
        sticks = [0.12] * int(self.rng.integers(7, 12))
        small = [PIECE_KG["S"] * float(self.rng.normal(1.0, PIECE_SPREAD)) for _ in range(2)]
        self.stove.put_in(sticks, moisture_wet=0.12)
        self.stove.put_in(small, moisture_wet=self.plan.moisture_wet)
        self.stove.light()
        self._write(load=float(sum(sticks) + sum(small)), air_open_pct=100, note="kindling")

    def _load(
        self,
        about_kg: float,
        *,
        air: int | None,
        kind: str = "",
        moisture_wet: float | None = None,
        **extra: object,
    ) -> None:
        """Put in pieces that come to about this mass; written as weighed, as counted, or both."""
        sizes = self._pick(about_kg)
        weights = [PIECE_KG[size] * float(self.rng.normal(1.0, PIECE_SPREAD)) for size in sizes]
        self.stove.put_in(weights, moisture_wet=moisture_wet or self.plan.moisture_wet)
        if air is not None:
            self.stove.air_open = air / 100.0
        counted = " ".join(f"{sizes.count(size)}{size}" for size in "SML" if size in sizes)
        weighed = self.rng.random() < 0.7 or kind == "weighed" or self.book.fahrenheit
        cells: dict[str, object] = {"air_open_pct": air, **extra}
        cells["load"] = float(sum(weights)) if weighed else None
        cells["pieces"] = counted if not weighed or self.rng.random() < 0.25 else None
        if self.rng.random() < 0.12 and not self.book.fahrenheit:
            measured = round(100 * self.plan.moisture_wet + float(self.rng.normal(0.0, 1.5)))
            cells.update(moisture_pct=measured, moisture_basis="wet")
        if self.rng.random() < 0.1:
            cells["species"] = str(self.rng.choice(["birch", "beech", "larch"]))
        self._write(**cells)

    def _pick(self, about_kg: float) -> list[str]:
        sizes: list[str] = []
        left = about_kg
        while left > 0.45:
            fits = [size for size, mass in PIECE_KG.items() if mass <= left + 0.35]
            size = str(self.rng.choice(fits[-2:])) if fits else "S"
            sizes.append(size)
            left -= PIECE_KG[size]
        return sizes

    def _air(self, percent: int, *, written: bool = True) -> None:
        self.stove.air_open = percent / 100.0
        if written:
            self._write(air_open_pct=percent)

    def _evening(self, until: datetime, *, quiet: bool) -> None:
        """Look every half hour or so: feed, turn down, open and shut the window."""
        turned_down = False
        while self.now < until:
            self._wait(int(self.rng.integers(18, 42)), until)
            room_c = self.house.air_c
            before = len(self.book.rows)
            if not turned_down and self.stove.flame > 2.5:
                self._air(int(self.rng.choice([35, 40, 50])), written=self.rng.random() < 0.8)
                turned_down = True
            self._mind_window(room_c)
            hours_left = (until - self.now).total_seconds() / 3600
            hungry = self.stove.wood_kg < (2.2 if room_c < 15.0 else 0.8)
            if room_c < 20.5 and hungry and hours_left > 0.6:
                self._feed(room_c)
                turned_down = False
            if self.rng.random() < 0.28:
                self._look()
            if quiet:
                del self.book.rows[before:]

    def _feed(self, room_c: float) -> None:
        if self._coals() == "none" and self.stove.flame < 0.3:
            self._light()
            self._wait(14)
        self._load(4.2 if room_c < 15.0 else 2.8, air=int(self.rng.choice([60, 80, 100])))

    def _mind_window(self, room_c: float) -> None:
        wanted = self.window
        if room_c > 27.0:
            wanted = "open"
        elif room_c > 24.5:
            wanted = "cracked" if self.window == "shut" else self.window
        elif room_c < 21.0:
            wanted = "shut"
        if wanted != self.window:
            self.window = wanted
            if self.rng.random() < 0.85:
                self._write(window=wanted, indoor=self.house.air_c if self.rng.random() < 0.5 else None)

    def _look(self) -> None:
        if self.rng.random() < 0.08 and not self.book.fahrenheit:
            loft_c = self.house.air_c + 1.5 + 0.012 * (self.stove.upper_c - self.house.air_c)
            self._write(indoor=loft_c, place="loft")
            return
        outside = self._outdoor_c() if self.rng.random() < 0.55 else None
        self._write(indoor=self.house.air_c, outdoor=outside)

    def _last_look(self) -> None:
        """Where the notebook ends: what is known before the question of tonight's load."""
        if self.window != "shut":
            self.window = "shut"
            self._write(window="shut")
        self._write(
            indoor=self.house.air_c,
            outdoor=self._outdoor_c(),
            coals=self._coals(),
            forecast_low_c=self._forecast(),
            wind=self._wind(),
        )

    def _to_bed(self, night: int) -> None:
        if self.window != "shut":
            self.window = "shut"
            self._write(window="shut")
        forecast = self._forecast() if self.rng.random() < 0.6 else None
        wind = self._wind() if self.rng.random() < 0.3 else None
        self._write(
            indoor=self.house.air_c,
            outdoor=self._outdoor_c(),
            forecast_low_c=forecast,
            coals=self._coals(),
            wind=wind,
        )
        self._wait(int(self.rng.integers(2, 6)))
        self._bed_load(night)
        self._write(mark="bed")
        self._reset()

    def _bed_load(self, night: int) -> None:
        """Wood for the night, burning up, turning down; each can be left out or forgotten."""
        kilograms, air = self.plan.bed_kg[night], self.plan.bed_air[night]
        if self.plan.soaked == night:
            self._load(kilograms, air=air, moisture_wet=0.42, kind="weighed")
            return
        if kilograms > 0:
            if self._coals() == "none" and self.stove.flame < 0.3:
                self._light()
                self._wait(16)
            self._load(kilograms, air=90, kind="weighed" if kilograms > LIMIT_KG else "")
            if self.plan.crack_at_bed == night:
                self.window = "cracked"
                self._write(window="cracked")
            self._wait(int(self.rng.integers(11, 19)))
        if self.plan.forgets_air != night:
            self._air(air, written=self.rng.random() < 0.85)

    def _sleep(self, night: int) -> None:
        wake = self._clock(6, 50, spread=28)
        if wake < self.now:
            wake += timedelta(days=1)
        if self.plan.night_load == night:
            self._wait(235 + int(self.rng.integers(0, 40)))
            self._load(2.2, air=50, indoor=self.house.air_c, note="up anyway")
        self._until(wake)
        low = self.rng.random() < 0.45
        tenths = 0.1 * int(self.rng.integers(-3, 4))
        self._write(
            mark="woke",
            indoor=self.house.air_c,
            outdoor=self._outdoor_c() if self.rng.random() < 0.8 else None,
            coals=self._coals() if self.rng.random() < 0.8 else None,
            low_c=round(self.low_c + tenths, 1) if low else None,
            high_c=round(self.high_c + tenths, 1) if low else None,
            reset_at=self.reset_at.strftime("%Y-%m-%dT%H:%M") if low and self.rng.random() < 0.6 else None,
        )
        if self.plan.soaked == night:
            self._write(fire_out="yes", note="died in the night, black hissing logs")
        if self.plan.forgets_air == night:
            self._write(note="lever was still wide open this morning, no wonder")
        if self.plan.notes.get(night + 1):
            self._write(note=self.plan.notes[night + 1])

    def _morning(self, *, last: bool) -> None:
        """A morning fire; then out on the snow, or home."""
        self.book.fahrenheit = False
        self._wait(int(self.rng.integers(12, 30)))
        if self.house.air_c < 18.5:
            if self._coals() == "none":
                self._light()
                self._wait(16)
                self._load(2.2, air=70)
            else:
                self._load(2.6, air=100)
                self._wait(15)
                self._air(40, written=self.rng.random() < 0.8)
        away = self._clock(13 if last else 10, 20, spread=30)
        self._evening(max(away, self.now + timedelta(minutes=30)), quiet=False)
        if self.window != "shut":
            self.window = "shut"
            self._write(window="shut")
        if last:
            self._write(mark="left", indoor=self.house.air_c, outdoor=self._outdoor_c())
            return
        self._air(30, written=self.rng.random() < 0.5)
        self._until(self._clock(15, 50, spread=40))
        self._write(indoor=self.house.air_c, outdoor=self._outdoor_c(), note="back")
        self._wait(6)
        if self._coals() == "none":
            self._light()
            self._wait(18)
        self._load(2.8, air=80)

    # how time goes by

    def _wait(self, minutes: int, until: datetime | None = None) -> None:
        goal = self.now + timedelta(minutes=minutes)
        self._until(min(goal, until) if until else goal)

    def _until(self, when: datetime) -> None:
        while self.now < when:
            sky = self.weather.at(self.now)
            given = self.stove.step(
                room_c=self.house.air_c,
                radiant_c=self.house.radiant_c,
                outdoor_c=sky.air_c,
                wind_m_per_s=sky.wind_m_per_s,
            )
            self.house.step(
                sky,
                window=self.window,
                convected_w=given.convected_w + 120.0,  # two people
                radiated_w=given.radiated_w + 60.0,
                drawn_m3_per_s=given.drawn_m3_per_s,
            )
            self.now += timedelta(minutes=1)
            self.low_c, self.high_c = min(self.low_c, self.house.air_c), max(self.high_c, self.house.air_c)
            kilowatts = (given.convected_w + given.radiated_w) / 1000.0
            self.trace.append((self.now, self.house.air_c, sky.air_c, kilowatts, self.stove.wood_kg))

    def _reset(self) -> None:
        self.low_c = self.high_c = self.house.air_c
        self.reset_at = self.now

    def _clock(self, hour: int, minute: int, *, spread: int) -> datetime:
        """Today at about this time."""
        return self.now.replace(hour=hour, minute=minute) + timedelta(
            minutes=int(self.rng.normal(0, spread / 2))
        )

    def _outdoor_c(self) -> float:
        return self.weather.at(self.now).air_c

    def _coals(self) -> str:
        """The bed by eye: apples, raspberries, nothing; small ones are overlooked."""
        seen = self.stove.char_kg * float(self.rng.normal(1.0, 0.25))
        return "good" if seen > 0.30 else "few" if seen > 0.06 else "none"

    def _forecast(self) -> float:
        """The night's low as the valley's forecast has it, °C."""
        return float(round(self.weather.low_after(self.now) + float(self.rng.normal(0.0, 1.5))))

    def _wind(self) -> str:
        """As felt at the door."""
        felt = self.weather.at(self.now).wind_m_per_s
        return "calm" if felt < 1.5 else "breeze" if felt < 4.5 else "strong"

    def _write(self, **cells: object) -> None:
        self.book.write(self.now, **cells)


def unheated(house: House, weather: Weather, start: datetime, until: datetime) -> None:
    """The cabin standing empty, coming to terms with the weather."""
    now = start
    while now < until:
        house.step(weather.at(now), window="shut", convected_w=0.0, radiated_w=0.0, drawn_m3_per_s=0.0)
        now += timedelta(minutes=1)
