"""Bolts: preload, tightening torque, and how near a torque comes to the proof load."""

from __future__ import annotations

from functools import partial
from typing import Annotated

from kickover.formulas.formula import FormulaValue, choice, formula, number, worked
from kickover.formulas.threads import THREADS, Thread, ThreadSize
from kickover.units import show_number

PROPERTY_CLASSES = {
    "4.6": (225, 400),
    "4.8": (310, 420),
    "5.6": (280, 500),
    "5.8": (380, 520),
    "6.8": (440, 600),
    "8.8": (580, 800),
    "10.9": (830, 1040),
    "12.9": (970, 1220),
}
"""Proof stress and least tensile strength in MPa of each property class, up to M16 (ISO 898-1)."""
_ABOVE_M16 = {**PROPERTY_CLASSES, "8.8": (600, 830)}
# A thread in light metal strips before a steel bolt yields: the middle of the usual 60 to 70 %.
_LIGHT_METAL_SHARE = 0.65
ClassMark = Annotated[
    str, choice("property class stamped on the head; unmarked is 4.6 at best", PROPERTY_CLASSES)
]
ShareOfProof = Annotated[float, number("share of the proof load to use", "%", 5, 90)]
NutFactor = Annotated[float, number("0.20 dry, 0.15 oiled or with wet threadlocker", "", 0.08, 0.35)]


def _bolt(size: str, class_: str) -> tuple[Thread, float, float, str]:
    """The thread, the proof load and the tensile load in N of a bolt, with a line of working."""
    thread = THREADS[size]
    proof, tensile = (PROPERTY_CLASSES if thread.diameter <= 16 else _ABOVE_M16)[class_]
    area = thread.stress_area
    line = f"proof load: {show_number(area)} mm² × {show_number(proof)} MPa = {area * proof:.0f} N"
    return thread, area * proof, area * tensile, line


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
    _, load, tensile, line = _bolt(thread, class_)
    preload = load * share / 100
    return worked(
        {"preload": (preload, "N"), "proof-load": (load, "N"), "tensile-load": (tensile, "N")},
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
    known, load, _, line = _bolt(thread, class_)
    light = part == "aluminium"
    preload = load * share / 100 * (_LIGHT_METAL_SHARE if light else 1)
    value = nut_factor * known.diameter / 1000 * preload
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
    known, load, _, line = _bolt(thread, class_)
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
