"""The invented stove: every piece of wood burns in from its own surface; char lies in a bed apart.

Pieces dry and give off gas as fast as their remaining surface, the glow and the flames above them
allow; the gas burns as well as the air it gets lets it; what is left falls into the char bed, which
burns with the air that reaches it. The hot gas warms the lower and then the upper part of the iron
body; the body radiates with the fourth power of its temperature and warms the air that rises on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

SUBSTEP_S = 20.0
STEFAN_W_PER_M2K4 = 5.67e-8
GAS_J_PER_KGK = 1100.0

VOLATILE_MJ_PER_KG = 15.3
CHAR_MJ_PER_KG = 31.0
CHAR_SHARE = 0.20
WATER_MJ_PER_KG = 2.7
AIR_PER_VOLATILE = 5.2
AIR_PER_CHAR = 10.5

LOWER_J_PER_K, UPPER_J_PER_K = 82.0 * 500.0, 46.0 * 500.0
LOWER_M2, UPPER_M2 = 0.95, 0.85
FULL_AIR_KG_PER_S = 0.0115
LEAK_AIR_KG_PER_S = 0.0019


@dataclass
class Piece:
    """One piece of wood: dry mass left, dry mass at first, water left, kg."""

    dry_kg: float
    first_kg: float
    water_kg: float


@dataclass(frozen=True)
class Given:
    """What the stove gave the room in a minute: W by air and by radiation, and the air it drew."""

    convected_w: float
    radiated_w: float
    drawn_m3_per_s: float


class Stove:
    """Pieces, char bed, and the two parts of the body, moved on a minute at a time."""

    def __init__(self, room_c: float) -> None:
        self.pieces: list[Piece] = []
        self.char_kg = 0.0
        self.ash_kg = 0.0
        self.lower_c = room_c
        self.upper_c = room_c
        self.flame = 0.0
        self.lighter_s = 0.0
        self.air_open = 0.0

    def put_in(self, weighed_kg: list[float], *, moisture_wet: float) -> None:
        """Lay pieces in; masses as weighed."""
        for weight in weighed_kg:
            dry = weight * (1.0 - moisture_wet)
            self.pieces.append(Piece(dry, dry, weight * moisture_wet))

    def light(self) -> None:
        """Set a match to the kindling."""
        self.lighter_s = 480.0

    @property
    def wood_kg(self) -> float:
        """Unburnt dry wood, kg."""
        return sum(piece.dry_kg for piece in self.pieces)

    @property
    def out(self) -> bool:
        """Whether nothing burns and the body has gone cold enough to forget."""
        return self.char_kg < 0.01 and self.flame < 0.01 and not self.lighter_s

    def step(self, *, room_c: float, radiant_c: float, outdoor_c: float, wind_m_per_s: float) -> Given:
        """One minute on."""
        convected = radiated = drawn = 0.0
        for _ in range(3):
            air = self._draught(outdoor_c, wind_m_per_s)
            heat_mw = self._burn(air)
            self._warm(heat_mw * 1.0e6, air, room_c)
            by_air, by_rays = self._give(room_c, radiant_c)
            convected += by_air / 3.0
            radiated += by_rays / 3.0
            drawn += air / 1.2 / 3.0
        return Given(convected, radiated, drawn)

    def _draught(self, outdoor_c: float, wind_m_per_s: float) -> float:
        """Air through the stove, kg/s: the lever's opening, and a chimney that pulls when warm."""
        flue_c = 0.55 * self.upper_c + 0.45 * outdoor_c + 120.0 * min(1.0, self.flame / 6.0)
        pull = math.sqrt(max(0.0, flue_c - outdoor_c) / 200.0 + 0.015 * wind_m_per_s**1.5 / 5.0)
        return (LEAK_AIR_KG_PER_S + FULL_AIR_KG_PER_S * self.air_open**1.15) * min(1.5, pull + 0.1)

    def _burn(self, air_kg_per_s: float) -> float:
        """What burns in a substep; heat set free, MW."""
        self.lighter_s = max(0.0, self.lighter_s - SUBSTEP_S)
        glow = self.char_kg / (self.char_kg + 0.35) * min(1.0, (self.lower_c + 60.0) / 260.0)
        flames = self.flame / (self.flame + 5.0)
        heat_around = 0.38 * glow + 0.85 * flames + (0.60 if self.lighter_s else 0.0)
        air_for_gas = air_kg_per_s * 0.78
        wanted = [self._gasify(piece, heat_around) for piece in self.pieces]
        gas_kg = sum(wanted) * (1.0 - CHAR_SHARE)
        limit = air_for_gas * SUBSTEP_S / AIR_PER_VOLATILE
        hold_back = min(1.0, (0.25 * gas_kg + limit) / gas_kg) if gas_kg > 0 else 1.0
        gas_kg *= hold_back
        steam_mj = self._use_up(wanted, hold_back)
        burnt_well = min(1.0, limit / gas_kg) if gas_kg > 0 else 1.0
        complete = (0.62 + 0.34 * min(1.0, self.lower_c / 260.0)) * (0.45 + 0.55 * burnt_well)
        gas_mj = gas_kg * VOLATILE_MJ_PER_KG * complete - steam_mj
        spare_air = max(0.0, air_kg_per_s * SUBSTEP_S - gas_kg * AIR_PER_VOLATILE * complete)
        char_kg = min(
            0.5 * spare_air / AIR_PER_CHAR, SUBSTEP_S * 1.05e-4 * self.char_kg ** (2 / 3), self.char_kg
        )
        self.char_kg -= char_kg
        self.ash_kg += 0.03 * char_kg
        heat_mj = max(0.0, gas_mj) + char_kg * CHAR_MJ_PER_KG * 0.97 + (0.04 if self.lighter_s else 0.0)
        kilowatts = heat_mj * 1000.0 / SUBSTEP_S
        self.flame += (max(0.0, gas_mj) * 1000.0 / SUBSTEP_S - self.flame) * SUBSTEP_S / 150.0
        return kilowatts / 1000.0

    @staticmethod
    def _gasify(piece: Piece, heat_around: float) -> float:
        """Dry wood a piece would lose in a substep, kg: surface left, slowed by its water."""
        surface = piece.first_kg ** (2 / 3) * (piece.dry_kg / piece.first_kg) ** 0.62
        damp = 1.0 / (1.0 + 2.2 * piece.water_kg / piece.dry_kg)
        return min(piece.dry_kg, SUBSTEP_S * 5.4e-4 * surface * damp * heat_around)

    def _use_up(self, wanted: list[float], hold_back: float) -> float:
        """Take the wood off the pieces, drop their char into the bed; heat spent on steam, MJ."""
        steam_mj = 0.0
        for piece, lost in zip(self.pieces, wanted, strict=True):
            gone = lost * hold_back
            share = gone / piece.dry_kg
            dried = min(piece.water_kg, piece.water_kg * share * 1.6)
            piece.water_kg -= dried
            piece.dry_kg -= gone
            steam_mj += dried * WATER_MJ_PER_KG
            self.char_kg += gone * CHAR_SHARE
        self.char_kg += sum(
            piece.dry_kg * 0.5 for piece in self.pieces if piece.dry_kg < 0.02 * piece.first_kg
        )
        self.pieces = [piece for piece in self.pieces if piece.dry_kg >= 0.02 * piece.first_kg]
        return steam_mj

    def _warm(self, heat_w: float, air_kg_per_s: float, room_c: float) -> None:
        """Hot gas over the lower, then the upper part of the body; the rest leaves by the flue."""
        stream = max(1e-4, air_kg_per_s * 1.1) * GAS_J_PER_KGK
        straight = 0.30 * heat_w  # flames and glow shine on the iron around them
        gas_c = room_c + (heat_w - straight) / stream
        taken_low = stream * (1.0 - math.exp(-2.5 / stream)) * (gas_c - self.lower_c)
        gas_c -= taken_low / stream
        taken_high = stream * (1.0 - math.exp(-2.8 / stream)) * (gas_c - self.upper_c)
        between = 9.0 * (self.lower_c - self.upper_c)
        self.lower_c += SUBSTEP_S * (straight + taken_low - between) / LOWER_J_PER_K
        self.upper_c += SUBSTEP_S * (taken_high + between) / UPPER_J_PER_K

    def _give(self, room_c: float, radiant_c: float) -> tuple[float, float]:
        """Heat from the body to the room's air and, as rays, to its surfaces, W; the body cools by it."""
        convected = radiated = 0.0
        around = (radiant_c + 273.15) ** 4
        for part, area in (("lower", LOWER_M2), ("upper", UPPER_M2)):
            own_c = getattr(self, part + "_c")
            rays = 0.88 * STEFAN_W_PER_M2K4 * area * ((own_c + 273.15) ** 4 - around)
            over_k = own_c - room_c
            by_air = math.copysign(1.7 * area * abs(over_k) ** 1.28, over_k)
            held = LOWER_J_PER_K if part == "lower" else UPPER_J_PER_K
            setattr(self, part + "_c", own_c - SUBSTEP_S * (rays + by_air) / held)
            convected += by_air
            radiated += rays
        return convected, radiated
