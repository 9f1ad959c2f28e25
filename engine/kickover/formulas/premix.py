"""Oil for two-stroke fuel: a fresh can, and a tank that already holds something else.

A ratio of 40:1 is 40 parts of petrol to 1 part of oil, by volume.
"""

from __future__ import annotations

from kickover.formulas.formula import Formula, FormulaValue, Inputs, formula, number
from kickover.units import Quantity, show_number

_NEVER_PLAIN = "never run plain petrol in an engine that is oiled by its fuel, not even for a test"


def oil_for(fuel_ml: float, ratio: float) -> float:
    """Give the oil in ml for so much petrol at `ratio` parts to one."""
    return fuel_ml / ratio


def oil_to_add(held_ml: float, held_ratio: float | None, added_ml: float, ratio: float) -> float:
    """Give the oil in ml that brings a topped-up tank to `ratio`; below zero when it is too oily already.

    `held_ml` is what the tank holds, petrol and oil together, at `held_ratio`; None means plain petrol.
    """
    held_oil = 0.0 if held_ratio is None else held_ml / (held_ratio + 1)
    return (held_ml - held_oil + added_ml) / ratio - held_oil


def _premix(inputs: Inputs) -> FormulaValue:
    fuel, ratio = inputs["fuel"], inputs["ratio"]
    oil = oil_for(fuel * 1000, ratio)
    return FormulaValue(
        {"oil": Quantity(oil, "ml"), "oil-share": Quantity(1000 / ratio, "ml/L")},
        (f"oil: {show_number(fuel * 1000)} ml / {show_number(ratio)} = {oil:.1f} ml",),
        (_NEVER_PLAIN,),
    )


def _top_up(inputs: Inputs) -> FormulaValue:
    held, added, ratio = inputs["held"] * 1000, inputs["added"] * 1000, inputs["ratio"]
    held_ratio = inputs.maybe("held-ratio")
    oil = oil_to_add(held, held_ratio, added, ratio)
    held_oil = 0.0 if held_ratio is None else held / (held_ratio + 1)
    petrol = held - held_oil + added
    working = (
        f"in the tank: {held_oil:.1f} ml of oil and {held - held_oil:.0f} ml of petrol",
        f"petrol after topping up: {held - held_oil:.0f} ml + {added:.0f} ml = {petrol:.0f} ml",
        f"oil to add: {petrol:.0f} ml / {show_number(ratio)} − {held_oil:.1f} ml = {oil:.1f} ml",
    )
    if oil >= 0:
        values = {"oil": Quantity(oil, "ml"), "mixed-ratio": Quantity(ratio, ":1")}
        return FormulaValue(values, working, (_NEVER_PLAIN,))
    short = held_oil * ratio - petrol
    mixed = petrol / held_oil
    return FormulaValue(
        {"oil": Quantity(0, "ml"), "mixed-ratio": Quantity(mixed, ":1")},
        working,
        (
            f"there is more oil than wanted already: add none, and the tank is at {show_number(mixed)}:1",
            f"{show_number(short)} ml more petrol would bring it to {show_number(ratio)}:1",
        ),
    )


def _tank_mix(inputs: Inputs) -> FormulaValue:
    held, added = inputs["held"] * 1000, inputs["added"] * 1000
    poured = inputs.maybe("added-ratio")
    oil = held / (inputs["held-ratio"] + 1) + (added / (poured + 1) if poured else 0.0)
    petrol = held + added - oil
    working = (f"oil: {oil:.1f} ml; petrol: {held:.0f} ml + {added:.0f} ml − {oil:.1f} ml = {petrol:.0f} ml",)
    ratio = petrol / oil
    return FormulaValue(
        {"mixed-ratio": Quantity(ratio, ":1"), "oil": Quantity(oil, "ml")},
        (*working, f"ratio: {petrol:.0f} ml / {oil:.1f} ml = {show_number(ratio)}:1"),
        (_NEVER_PLAIN,),
    )


_RATIO = number("ratio", "parts of petrol to one of oil", ":1", 10, 100, figure="premix-ratio")
_SECTION = "volumes by definition; gallon sizes NIST Handbook 44, appendix C (from memory)"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "tank-mix",
        "Ratio of a tank from what is in it and what is poured on top",
        (
            number("held", "mixture in the tank", "L", 0.01, 250),
            number("held-ratio", "its ratio, parts of petrol to one of oil", ":1", 10, 200),
            number("added", "fuel poured on top", "L", 0, 250, default=0.0),
            number("added-ratio", "its ratio; left out, it is plain petrol", ":1", 10, 200, required=False),
        ),
        ":1",
        _tank_mix,
        source="arithmetic of the mixing ratio",
        section=_SECTION,
        validity="ratio by volume, both fuels known and well shaken together",
    ),
    formula(
        "premix",
        "Oil for an amount of petrol",
        (_RATIO, number("fuel", "petrol to be mixed", "L", 0.05, 250)),
        "ml",
        _premix,
        source="arithmetic of the mixing ratio",
        section=_SECTION,
        validity="ratio by volume; take the ratio from the maker of the engine",
    ),
    formula(
        "premix-top-up",
        "Oil for a tank that already holds fuel of another mixture",
        (
            _RATIO,
            number("held", "mixture left in the tank", "L", 0, 250),
            number("held-ratio", "its ratio; left out, it is plain petrol", ":1", 10, 200, required=False),
            number("added", "plain petrol to be added", "L", 0, 250),
        ),
        "ml",
        _top_up,
        source="arithmetic of the mixing ratio",
        section=_SECTION,
        validity="ratio by volume, both fuels known; drain a tank whose contents are not",
    ),
)
