"""Bolts: preload, tightening torque, and how near a torque comes to the proof load."""

from __future__ import annotations

from dataclasses import dataclass

from kickover.formulas.formula import Formula, FormulaValue, Inputs, choice, formula, number
from kickover.formulas.threads import THREAD, THREADS, Thread
from kickover.units import Quantity, show_number


@dataclass(frozen=True, slots=True)
class PropertyClass:
    """A property class of ISO 898-1: proof stress and tensile strength in MPa, up to M16 and above."""

    proof: float
    tensile: float
    proof_large: float
    tensile_large: float

    def proof_stress(self, thread: Thread) -> float:
        """Give the proof stress in MPa for a thread of this size."""
        return self.proof if thread.diameter <= 16 else self.proof_large

    def tensile_strength(self, thread: Thread) -> float:
        """Give the minimum tensile strength in MPa for a thread of this size."""
        return self.tensile if thread.diameter <= 16 else self.tensile_large


PROPERTY_CLASSES = {
    "4.6": PropertyClass(225, 400, 225, 400),
    "4.8": PropertyClass(310, 420, 310, 420),
    "5.6": PropertyClass(280, 500, 280, 500),
    "5.8": PropertyClass(380, 520, 380, 520),
    "6.8": PropertyClass(440, 600, 440, 600),
    "8.8": PropertyClass(580, 800, 600, 830),
    "10.9": PropertyClass(830, 1040, 830, 1040),
    "12.9": PropertyClass(970, 1220, 970, 1220),
}
# A thread in light metal strips before a steel bolt yields: the middle of the usual 60 to 70 %.
_LIGHT_METAL_SHARE = 0.65

_CLASS = choice(
    "class", "property class stamped on the head; unmarked is 4.6 at best", tuple(PROPERTY_CLASSES), "8.8"
)
_SHARE = number("share", "share of the proof load to use", "%", 5, 90, default=75)
_NUT_FACTOR = number(
    "nut-factor", "0.20 dry, 0.15 oiled or with wet threadlocker", "", 0.08, 0.35, default=0.20
)


def proof_load(thread: Thread, grade: PropertyClass) -> float:
    """Give the proof load in N: nominal stress area times proof stress (ISO 898-1)."""
    return thread.stress_area * grade.proof_stress(thread)


def torque(preload_n: float, diameter_mm: float, nut_factor: float) -> float:
    """Give the tightening torque in N·m: T = K d F."""
    return nut_factor * diameter_mm / 1000 * preload_n


def _bolt(inputs: Inputs) -> tuple[Thread, PropertyClass, float, str]:
    thread, grade = THREADS[inputs.word("thread")], PROPERTY_CLASSES[inputs.word("class")]
    load = proof_load(thread, grade)
    return (
        thread,
        grade,
        load,
        (
            f"proof load: {show_number(thread.stress_area)} mm² ×"
            f" {show_number(grade.proof_stress(thread))} MPa = {load:.0f} N"
        ),
    )


def _preload(inputs: Inputs) -> FormulaValue:
    thread, grade, load, line = _bolt(inputs)
    share = inputs["share"]
    preload = load * share / 100
    return FormulaValue(
        {
            "preload": Quantity(preload, "N"),
            "proof-load": Quantity(load, "N"),
            "tensile-load": Quantity(thread.stress_area * grade.tensile_strength(thread), "N"),
        },
        (line, f"preload: {show_number(share)} % of it = {preload:.0f} N"),
    )


def _torque(inputs: Inputs) -> FormulaValue:
    thread, _, load, line = _bolt(inputs)
    share, factor = inputs["share"], inputs["nut-factor"]
    light = inputs.word("part") == "aluminium"
    preload = load * share / 100 * (_LIGHT_METAL_SHARE if light else 1)
    value = torque(preload, thread.diameter, factor)
    lines = [line, f"preload: {show_number(share)} % of it = {load * share / 100:.0f} N"]
    if light:
        lines.append(
            f"into aluminium: {_LIGHT_METAL_SHARE:.0%} of that = {preload:.0f} N (common practice, no source)"
        )
    lines.append(
        f"torque: {show_number(factor)} × {show_number(thread.diameter)} mm × {preload:.0f} N ="
        f" {value:.1f} N·m"
    )
    return FormulaValue(
        {"torque": Quantity(value, "N·m"), "preload": Quantity(preload, "N")},
        tuple(lines),
        (
            "the maker's figure comes first, wherever there is one",
            "with torque alone the preload scatters by 25 to 30 % either way",
        ),
    )


def _share_of_proof(inputs: Inputs) -> FormulaValue:
    thread, _, load, line = _bolt(inputs)
    given, factor = inputs["torque"], inputs["nut-factor"]
    preload = given / (factor * thread.diameter / 1000)
    share = preload / load * 100
    notes = ["with torque alone the preload scatters by 25 to 30 % either way"]
    if share > 100:
        notes.insert(
            0,
            "above the proof load: the bolt stretches for good; do not tighten so far, and replace it"
            " if it was",
        )
    elif share > 90:
        notes.insert(0, "above 90 % of the proof load: no room is left for the scatter of the wrench")
    return FormulaValue(
        {"share": Quantity(share, "%"), "preload": Quantity(preload, "N"), "proof-load": Quantity(load, "N")},
        (
            line,
            f"preload: {show_number(given)} N·m / ({show_number(factor)} ×"
            f" {show_number(thread.diameter)} mm) = {preload:.0f} N",
            f"share: {preload:.0f} / {load:.0f} = {share:.0f} %",
        ),
        tuple(notes),
    )


_LOADS = "ISO 898-1, bolts, screws and studs"
_TORQUE = "proof loads; T = K d F as in Shigley, Mechanical Engineering Design, bolted joints (from memory)"
_VALIDITY = "steel bolts to ISO 898-1, not stainless, not pre-stretched; K is an average and scatters widely"

FORMULAS: tuple[Formula, ...] = (
    formula(
        "bolt-preload",
        "Preload for a bolt, with its proof and tensile loads",
        (THREAD, _CLASS, _SHARE),
        "N",
        _preload,
        source=_LOADS,
        section="tables of proof and minimum ultimate tensile loads; 75 % is common practice, no source",
        validity="steel bolts to ISO 898-1 in a joint that is taken apart again",
    ),
    formula(
        "bolt-torque",
        "Tightening torque for a bolt",
        (
            THREAD,
            _CLASS,
            _SHARE,
            _NUT_FACTOR,
            choice("part", "what it screws into", ("steel", "aluminium"), "steel"),
        ),
        "N·m",
        _torque,
        source=_LOADS,
        section=_TORQUE,
        validity=_VALIDITY,
    ),
    formula(
        "proof-load-share",
        "How near a torque brings a bolt to its proof load",
        (THREAD, _CLASS, number("torque", "torque on the wrench", "N·m", 0.1, 1000), _NUT_FACTOR),
        "%",
        _share_of_proof,
        source=_LOADS,
        section=_TORQUE,
        validity=_VALIDITY,
    ),
)
