"""Bolts: preload, tightening torque, and how near a torque comes to the proof load."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Annotated

from kickover.formulas.formula import FormulaValue, choice, formula, number, worked
from kickover.formulas.threads import THREADS, Thread, ThreadSize
from kickover.units import show_number


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
ClassMark = Annotated[
    str, choice("property class stamped on the head; unmarked is 4.6 at best", PROPERTY_CLASSES)
]
ShareOfProof = Annotated[float, number("share of the proof load to use", "%", 5, 90)]
NutFactor = Annotated[float, number("0.20 dry, 0.15 oiled or with wet threadlocker", "", 0.08, 0.35)]


def proof_load(thread: Thread, grade: PropertyClass) -> float:
    """Give the proof load in N: nominal stress area times proof stress (ISO 898-1)."""
    return thread.stress_area * grade.proof_stress(thread)


def torque(preload_n: float, diameter_mm: float, nut_factor: float) -> float:
    """Give the tightening torque in N·m: T = K d F."""
    return nut_factor * diameter_mm / 1000 * preload_n


def _bolt(size: str, class_: str) -> tuple[Thread, PropertyClass, float, str]:
    thread, grade = THREADS[size], PROPERTY_CLASSES[class_]
    load, stress = proof_load(thread, grade), show_number(grade.proof_stress(thread))
    line = f"proof load: {show_number(thread.stress_area)} mm² × {stress} MPa = {load:.0f} N"
    return thread, grade, load, line


_LOADS = "ISO 898-1, bolts, screws and studs"
_SCATTER = "with torque alone the preload scatters by 25 to 30 % either way"
_tightened = partial(
    formula,
    source=_LOADS,
    section="proof loads; T = K d F as in Shigley, Mechanical Engineering Design, bolted joints"
    " (from memory)",
    validity="steel bolts to ISO 898-1, not stainless, not pre-stretched; K is an average and scatters"
    " widely",
)


@formula(
    "Preload for a bolt, with its proof and tensile loads",
    "N",
    source=_LOADS,
    section="tables of proof and minimum ultimate tensile loads; 75 % is common practice, no source",
    validity="steel bolts to ISO 898-1 in a joint that is taken apart again",
)
def _bolt_preload(thread: ThreadSize, class_: ClassMark = "8.8", share: ShareOfProof = 75) -> FormulaValue:
    known, grade, load, line = _bolt(thread, class_)
    preload = load * share / 100
    return worked(
        {
            "preload": (preload, "N"),
            "proof-load": (load, "N"),
            "tensile-load": (known.stress_area * grade.tensile_strength(known), "N"),
        },
        line,
        f"preload: {show_number(share)} % of it = {preload:.0f} N",
    )


@_tightened("Tightening torque for a bolt", "N·m")
def _bolt_torque(
    thread: ThreadSize,
    class_: ClassMark = "8.8",
    share: ShareOfProof = 75,
    nut_factor: NutFactor = 0.20,
    part: Annotated[str, choice("what it screws into", ("steel", "aluminium"))] = "steel",
) -> FormulaValue:
    known, _, load, line = _bolt(thread, class_)
    light = part == "aluminium"
    preload = load * share / 100 * (_LIGHT_METAL_SHARE if light else 1)
    value = torque(preload, known.diameter, nut_factor)
    lines = [line, f"preload: {show_number(share)} % of it = {load * share / 100:.0f} N"]
    if light:
        lines.append(
            f"into aluminium: {_LIGHT_METAL_SHARE:.0%} of that = {preload:.0f} N (common practice, no source)"
        )
    return worked(
        {"torque": (value, "N·m"), "preload": (preload, "N")},
        *lines,
        f"torque: {show_number(nut_factor)} × {show_number(known.diameter)} mm × {preload:.0f} N ="
        f" {value:.1f} N·m",
        notes=("the maker's figure comes first, wherever there is one", _SCATTER),
    )


@_tightened("How near a torque brings a bolt to its proof load", "%")
def _proof_load_share(
    *,
    thread: ThreadSize,
    class_: ClassMark = "8.8",
    torque: Annotated[float, number("torque on the wrench", "N·m", 0.1, 1000)],
    nut_factor: NutFactor = 0.20,
) -> FormulaValue:
    known, _, load, line = _bolt(thread, class_)
    preload = torque / (nut_factor * known.diameter / 1000)
    share = preload / load * 100
    notes: tuple[str, ...] = (_SCATTER,)
    if share > 100:
        stretched = "above the proof load: the bolt stretches for good; do not tighten so far, and replace it"
        notes = (f"{stretched} if it was", _SCATTER)
    elif share > 90:
        notes = ("above 90 % of the proof load: no room is left for the scatter of the wrench", _SCATTER)
    return worked(
        {"share": (share, "%"), "preload": (preload, "N"), "proof-load": (load, "N")},
        line,
        f"preload: {show_number(torque)} N·m / ({show_number(nut_factor)} ×"
        f" {show_number(known.diameter)} mm) = {preload:.0f} N",
        f"share: {preload:.0f} / {load:.0f} = {share:.0f} %",
        notes=notes,
    )
