"""The general-purpose package `scipy`: root finding, and Fourier sums, against our closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from kickover.formulas import compute


def deflection(frequency: float, natural: float, zeta: float, *, imbalance: bool) -> float:
    """Steady deflection of a damped oscillator, any text on mechanical vibration."""
    r = frequency / natural
    force = r**2 if imbalance else 1.0
    return force / math.sqrt((1 - r**2) ** 2 + (2 * zeta * r) ** 2)


@pytest.mark.parametrize("imbalance", [True, False])
@pytest.mark.parametrize("zeta", [0.01, 0.05, 0.12])
@pytest.mark.parametrize("share", [0.5, 0.70711, 0.9])
def test_two_equal_speeds_and_their_share_give_back_the_oscillator(
    imbalance: bool, zeta: float, share: float
) -> None:
    natural = 55.0

    def strength(hertz: float) -> float:
        return deflection(hertz, natural, zeta, imbalance=imbalance)

    peak = minimize_scalar(
        lambda hertz: -strength(hertz), bounds=(30, 90), method="bounded", options={"xatol": 1e-10}
    )
    level = share * strength(peak.x)
    lower = brentq(lambda hertz: strength(hertz) - level, 1, peak.x)
    upper = brentq(lambda hertz: strength(hertz) - level, peak.x, 400)
    found = compute(
        "natural-frequency",
        {
            "lower": lower * 60,
            "upper": upper * 60,
            "share": share * 100,
            "shaken-by": "imbalance" if imbalance else "steady-force",
        },
    )
    assert found.values["peak"].value == pytest.approx(peak.x, rel=1e-6)
    assert found.value.value == pytest.approx(natural, rel=1e-6)
    assert found.values["damping"].value == pytest.approx(zeta * 100, rel=1e-5)


@pytest.mark.parametrize("order", [1, 2])
def test_the_peak_speed_follows_the_order(order: int) -> None:
    found = compute("natural-frequency", {"lower": 3000, "upper": 3600, "order": order})
    peak = found.values["peak"].value
    assert compute("shaking-frequency", {"rpm": found.values["peak-speed"], "order": order}).value.value == (
        pytest.approx(peak)
    )


@pytest.mark.parametrize("rods", [1.5, 2.0, 2.5])
def test_inertia_forces_are_the_first_two_terms_of_the_piston_acceleration(rods: float) -> None:
    stroke, rpm, mass = 40.0, 5000.0, 0.15
    radius, rod = stroke / 2000, stroke * rods / 1000
    angle = np.linspace(0, 2 * math.pi, 4096, endpoint=False)
    position = radius * np.cos(angle) + np.sqrt(rod**2 - (radius * np.sin(angle)) ** 2)
    terms = 2 * np.real(np.fft.rfft(position)) / angle.size
    omega = rpm * math.pi / 30
    theirs = [mass * omega**2 * order**2 * abs(terms[order]) for order in (1, 2)]
    found = compute("inertia-force", {"mass": 150, "stroke": stroke, "rod": stroke * rods, "rpm": rpm})
    assert found.values["primary"].value == pytest.approx(theirs[0], rel=1e-9)
    assert found.values["secondary"].value == pytest.approx(theirs[1], rel=0.03)
    dropped = 16 * mass * omega**2 * abs(terms[4])
    assert dropped < 0.0105 * theirs[0]


# Rpm and the frequencies of half, first and second order in Hz, worked outside this program.
@pytest.mark.parametrize(
    ("rpm", "half", "first", "second"),
    [(1200, 10, 20, 40), (3000, 25, 50, 100), (3600, 30, 60, 120), (6000, 50, 100, 200)],
)
def test_orders_and_firing_frequencies(rpm: int, half: float, first: float, second: float) -> None:
    assert compute("firing-frequency", {"rpm": rpm, "cycle": "four-stroke"}).value.value == pytest.approx(
        half
    )
    assert compute("firing-frequency", {"rpm": rpm, "cycle": "two-stroke"}).value.value == pytest.approx(
        first
    )
    assert compute("shaking-frequency", {"rpm": rpm, "order": 2}).value.value == pytest.approx(second)
