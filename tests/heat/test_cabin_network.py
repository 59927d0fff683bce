"""The discretised network against an ODE solver, a closed form, its own energy account, and itself.

With the leak off and no window or fire the conductances are constant and the continuous network is a linear
ODE: that is what scipy's solver and the closed forms are compared with. The full network is held to its
energy account.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from logbook.heat import cabin
from logbook.heat.cabin import Course, Network, RoomState, cooling_time_constant_h, respond, run

HOUR_S = 3600.0

# fabric, direct, couple W/K; air, fabric MJ/K; share to the fabric. A light tight cabin, one of logs, a leaky
# shed and a stone room: the corners of what people heat with a stove.
CABINS = {
    "boards": (32.0, 14.0, 260.0, 0.18, 1.6, 0.55),
    "logs": (70.0, 20.0, 380.0, 0.30, 9.0, 0.40),
    "shed": (55.0, 95.0, 180.0, 0.12, 0.7, 0.60),
    "stone": (45.0, 25.0, 300.0, 0.25, 16.0, 0.70),
}


def two_nodes(name: str) -> Network:
    """Air and fabric alone: nothing deep, no leak; one lane."""
    fabric, direct, couple, air_mj, fabric_mj, share = CABINS[name]
    return Network(
        *(
            np.array([x])
            for x in (fabric, direct, 0.0, couple, 0.0, air_mj * 1e6, fabric_mj * 1e6, 1e6, share)
        )
    )


def full(seed: int, lanes: int = 6) -> Network:
    """Networks with every part at work."""
    rng = np.random.default_rng(seed)
    base = np.array([45.0, 25.0, 30.0, 280.0, 90.0, 0.2e6, 3.0e6, 5.0e6, 0.5])
    return Network(*(x * rng.uniform(0.6, 1.6, size=lanes) for x in base))


def weather(hours: float) -> tuple[np.ndarray, np.ndarray]:
    """Outdoor temperature, °C, and stove, W, constant within each hour so that the solver sees the same."""
    rng = np.random.default_rng(2)
    n = int(hours)
    return rng.uniform(-12.0, 6.0, n), rng.uniform(0.0, 5000.0, n)


def discretised(net: Network, hours: float, start: RoomState) -> np.ndarray:
    out, stove = weather(hours)
    each = round(HOUR_S / cabin.STEP_S)
    return course(
        net, np.repeat(out, each)[:, None], stove_w=np.repeat(stove, each)[:, None], start=start
    ).air_c[:, 0]


def course(net: Network, outdoor_c: np.ndarray, *, start: RoomState, **given: np.ndarray | float) -> Course:
    """A run with everything not given at nothing."""
    zero = np.zeros((len(outdoor_c), 1))
    series = dict.fromkeys(("stove_w", "fire_kw", "air_gain_w", "fabric_gain_w", "window_w_per_k"), zero)
    return run(net, outdoor_c=outdoor_c, start=start, **{**series, **given})  # type: ignore[arg-type]


def all_at(temperature_c: float, lanes: int = 1) -> RoomState:
    return RoomState(*(np.full(lanes, temperature_c) for _ in range(3)))


def by_solver(net: Network, hours: float, start_c: float) -> np.ndarray:
    """The same two nodes as an ODE, solved to 1e-9, hour by hour since the inputs jump there."""
    out, stove = weather(hours)
    share = float(net.to_fabric[0])
    ge, gd, h = float(net.fabric_w_per_k[0]), float(net.direct_w_per_k[0]), float(net.couple_w_per_k[0])
    ca, cf = float(net.air_j_per_k[0]), float(net.fabric_j_per_k[0])
    state, air = np.array([start_c, start_c]), []
    for outside, heat in zip(out, stove, strict=True):

        def slope(_t: float, y: np.ndarray, outside: float = outside, heat: float = heat) -> list[float]:
            return [
                (h * (y[1] - y[0]) + gd * (outside - y[0]) + (1.0 - share) * heat) / ca,
                (h * (y[0] - y[1]) + ge * (outside - y[1]) + share * heat) / cf,
            ]

        got = solve_ivp(slope, (0.0, HOUR_S), state, method="LSODA", rtol=1e-9, atol=1e-9)
        state = got.y[:, -1]
        air.append(float(state[0]))
    return np.array(air)


@pytest.mark.parametrize("name", CABINS)
def test_halving_the_step_halves_the_error_against_an_ode_solver(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Implicit Euler is of first order. At the end of each hour of a day with hourly jumps of 5 kW:
    the error is at most 0.3 K at five minutes and goes by halves with the step (1.7 to 2.3 times, the
    second-order rest being a tenth); so at 37 s it is an eighth. A wrong term would not shrink."""
    net, hours = two_nodes(name), 24.0
    exact = by_solver(net, hours, start_c=4.0)
    errors = []
    for step_s in (300.0, 150.0, 75.0, 37.5):
        monkeypatch.setattr(cabin, "STEP_S", step_s)
        each = round(HOUR_S / step_s)
        got = discretised(net, hours, all_at(4.0))[each - 1 :: each]
        errors.append(float(np.sqrt(np.mean((got - exact) ** 2))))
    assert errors[0] < 0.3
    ratios = [a / b for a, b in pairwise(errors)]
    assert all(1.7 < ratio < 2.3 for ratio in ratios), (errors, ratios)


@pytest.mark.parametrize("name", CABINS)
def test_a_long_hold_ends_in_the_steady_state(name: str) -> None:
    """Closed form: with heat P split s to the fabric, two balances in two unknowns, solved by hand."""
    net = two_nodes(name)
    fabric, direct, couple, _, _, share = CABINS[name]
    outside, heat = -7.0, 1900.0
    # fabric: h(Ta-Tf) = Ge(Tf-To) - sP;  air: (1-s)P = h(Ta-Tf) + Gd(Ta-To). With x = Ta-To, y = Tf-To:
    x = (
        heat
        * ((1.0 - share) + share * couple / (couple + fabric))
        / (direct + couple - couple**2 / (couple + fabric))
    )
    steps = 12 * 24 * 60  # 20 time constants of the slowest, the stone room
    got = course(net, np.full((steps, 1), outside), stove_w=np.full((steps, 1), heat), start=all_at(3.0))
    assert got.air_c[-1, 0] == pytest.approx(outside + x, abs=1e-6)
    total = cabin.steady_loss_w_per_k(net)[0]
    assert total == pytest.approx(direct + couple * fabric / (couple + fabric), rel=1e-12)


def test_steady_loss_is_the_heat_that_holds_the_room() -> None:
    """The definition, by the whole network: that much heat in the air holds 20 °C against -5 °C."""
    net = full(3)
    watts = cabin.steady_loss_w_per_k(net) * 25.0
    steps = 12 * 24 * 60
    got = course(
        net, np.full((steps, 1), -5.0), air_gain_w=np.broadcast_to(watts, (steps, 6)), start=all_at(15.0, 6)
    )
    np.testing.assert_allclose(got.air_c[-1], 20.0, atol=1e-3)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_energy_closes(seed: int) -> None:
    """Everything on: stack, wind, window, draught, sun, deep fabric. Heat in = stored + lost to 1e-6, from
    states and conductances step by step, the step's own equations not consulted."""
    net, steps, lanes = full(seed), 200, 6
    rng = np.random.default_rng(seed)
    out = rng.uniform(-15.0, 8.0, (steps, 1))
    stove, air, sun = (rng.uniform(0.0, top, (steps, lanes)) for top in (6000.0, 400.0, 900.0))
    window = rng.choice([0.0, 60.0], (steps, 1))
    fire_kw, wind = rng.uniform(0.0, 9.0, (steps, lanes)), rng.uniform(0.7, 1.8, (steps, 1))
    first = RoomState(*(rng.uniform(0.0, 20.0, lanes) for _ in range(3)))
    state, lost = first, np.zeros(lanes)
    whole = run(
        net,
        outdoor_c=out,
        stove_w=stove,
        fire_kw=fire_kw,
        air_gain_w=air,
        fabric_gain_w=sun,
        window_w_per_k=window,
        leak_scale=wind,
        start=first,
    )
    for i in range(steps):
        now = slice(i, i + 1)
        one = run(
            net,
            outdoor_c=out[now],
            stove_w=stove[now],
            fire_kw=fire_kw[now],
            air_gain_w=air[now],
            fabric_gain_w=sun[now],
            window_w_per_k=window[now],
            leak_scale=wind[now],
            start=state,
        )
        # A run is its steps, to rounding: states are handed over in °C and reckoned as heat felt.
        np.testing.assert_allclose(one.air_c[0], whole.air_c[i], rtol=0.0, atol=1e-12)
        state = one.last
        lost += one.air_w_per_k[0] * (state.air_c - out[i]) * cabin.STEP_S
        lost += net.fabric_w_per_k * (state.fabric_c - out[i]) * cabin.STEP_S
    given = (stove + air + sun).sum(axis=0) * cabin.STEP_S
    stored = (
        net.air_j_per_k * (state.air_c - first.air_c)
        + net.fabric_j_per_k * (state.fabric_c - first.fabric_c)
        + net.deep_j_per_k * (state.deep_c - first.deep_c)
    )
    np.testing.assert_allclose(given, stored + lost, rtol=1e-6)


def test_wind_window_and_fire_each_cool_the_room() -> None:
    """And by their own share of the conductance: what is told of each step adds up."""
    net, out = full(5), np.full((12, 1), -5.0)
    calm = course(net, out, start=all_at(20.0, 6))
    for name, given in {
        "wind": {"leak_scale": np.full((12, 1), 1.5)},
        "window": {"window_w_per_k": np.full((12, 1), 50.0)},
        "fire": {"fire_kw": np.full((12, 1), 4.0)},
    }.items():
        got = course(net, out, start=all_at(20.0, 6), **given)
        assert (got.air_c < calm.air_c).all(), name
        assert (got.air_w_per_k[0] > calm.air_w_per_k[0]).all(), name
    first = course(net, out[:1], window_w_per_k=np.array([[50.0]]), start=all_at(20.0, 6)).air_w_per_k[0]
    # 20 against -5: the stack factor is 1 there by definition, so the window counts in full.
    np.testing.assert_allclose(first - calm.air_w_per_k[0], 50.0, rtol=1e-12)


def test_respond_is_what_more_heat_does_with_conductances_held() -> None:
    """Against the difference of two runs of constant conductance: exact up to rounding, starts included."""
    net = full(6)._replace(leak_w_per_k=np.zeros(6))
    steps = 150
    rng = np.random.default_rng(8)
    out = rng.uniform(-10.0, 5.0, (steps, 1))
    extra_air, extra_fabric = rng.normal(0.0, 500.0, (2, steps, 6))
    start, moved = (RoomState(*rng.uniform(5.0, 20.0, (3, 6))) for _ in range(2))
    base = course(net, out, start=start)
    more = course(
        net,
        out,
        air_gain_w=extra_air,
        fabric_gain_w=extra_fabric,
        start=RoomState(*(a + b for a, b in zip(start, moved, strict=True))),
    )
    got = respond(
        net, air_w_per_k=base.air_w_per_k, to_air_w=extra_air, to_fabric_w=extra_fabric, start=moved
    )
    np.testing.assert_allclose(got, more.air_c - base.air_c, atol=1e-9)


def test_respond_is_the_tangent_where_the_leak_moves_too() -> None:
    """With the leak alive a warmer room leaks more, which the frozen response leaves out. A known small
    heat over six hours: it overstates by less than a tenth, and never has the wrong sign."""
    net = full(7)
    steps = 72
    out = np.full((steps, 1), -5.0)
    base = course(net, out, stove_w=np.full((steps, 1), 2000.0), start=all_at(15.0, 6))
    heat = np.full((steps, 6), 50.0)
    more = course(net, out, stove_w=np.full((steps, 1), 2000.0), air_gain_w=heat, start=all_at(15.0, 6))
    zero = np.zeros(6)
    got = respond(
        net,
        air_w_per_k=base.air_w_per_k,
        to_air_w=heat,
        to_fabric_w=np.zeros_like(heat),
        start=RoomState(zero, zero, zero),
    )
    true = more.air_c - base.air_c
    assert (got >= true - 1e-9).all()
    assert (got[-1] < 1.1 * true[-1]).all()


def one_mass(time_constant_h: float, loss_w_per_k: float = 80.0) -> Network:
    """Air and fabric welded together and the fabric's own way out shut: a single capacity."""
    capacity = time_constant_h * HOUR_S * loss_w_per_k
    return Network(
        *(
            np.array([x])
            for x in (1e-9, loss_w_per_k, 0.0, 1e8, 0.0, 0.3 * capacity, 0.7 * capacity, 1e6, 0.5)
        )
    )


@pytest.mark.parametrize("tau_h", [3.7, 12.0, 30.0, 85.0])
def test_time_constant_of_one_mass_is_capacity_over_loss(tau_h: float) -> None:
    """Eigenvalue of one mass: 1/tau. Implicit Euler turns exp(-dt/tau) into 1/(1 + dt/tau), so exactly
    dt/ln(1 + dt/tau) must come out, which is half a step more than tau."""
    got = float(cooling_time_constant_h(one_mass(tau_h), shape=(1,))[0])
    dt = cabin.STEP_S / HOUR_S
    assert got == pytest.approx(dt / np.log1p(dt / tau_h), rel=1e-5)
    assert got == pytest.approx(tau_h, abs=0.5 * dt + 1e-3)


@pytest.mark.parametrize("name", ["boards", "logs"])
def test_time_constant_of_two_masses_is_the_slow_eigenvalue(name: str) -> None:
    """Two hours after the heat stops only the slow mode is left in these two: its eigenvalue, from numpy's
    own solver, within half a step and 1 % for what is left of the fast mode."""
    fabric, direct, couple, air_mj, fabric_mj, _ = CABINS[name]
    matrix = np.array(
        [
            [-(couple + direct) / (air_mj * 1e6), couple / (air_mj * 1e6)],
            [couple / (fabric_mj * 1e6), -(couple + fabric) / (fabric_mj * 1e6)],
        ]
    )
    slow_h = -1.0 / float(np.linalg.eigvals(matrix).real.max()) / HOUR_S
    got = float(cooling_time_constant_h(two_nodes(name), shape=(1,))[0])
    assert got == pytest.approx(slow_h, rel=0.01, abs=0.5 * cabin.STEP_S / HOUR_S)


COOLING = [  # start 20 °C, outdoor -10 °C, time constant 30 h
    (30.0, 1.0364, "-10 + 30/e: definition of a time constant"),
    (20.7944, 5.0, "half-way at 30 h x ln 2"),
]


@pytest.mark.parametrize(("hours", "indoor_c", "source"), COOLING)
def test_cooling_matches_its_source(hours: float, indoor_c: float, source: str) -> None:
    """Implicit Euler lags by difference x (t/tau) exp(-t/tau) x dt/(2 tau): 0.015 K at the most here."""
    steps = round(40.0 * HOUR_S / cabin.STEP_S)
    got = course(one_mass(30.0), np.full((steps, 1), -10.0), start=all_at(20.0)).air_c[:, 0]
    at = (np.arange(steps) + 1) * cabin.STEP_S / HOUR_S
    assert np.interp(hours, at, got) == pytest.approx(indoor_c, abs=0.02), source


def test_nothing_swings_however_stiff() -> None:
    """A gram of air and a huge coupling: implicit steps go straight to balance, never past it."""
    net = two_nodes("boards")._replace(air_j_per_k=np.array([10.0]), couple_w_per_k=np.array([5000.0]))
    got = course(net, np.full((60, 1), 0.0), start=all_at(20.0)).air_c[:, 0]
    assert (np.diff(got) < 0.0).all()
    assert (got > 0.0).all()
