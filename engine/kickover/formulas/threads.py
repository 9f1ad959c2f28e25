"""Metric and unified threads: their sizes, the hole for a tap, and how far a bolt must screw in."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from kickover.formulas.formula import PRACTICE, FormulaValue, choice, formula, number, worked
from kickover.units import show_number


@dataclass(frozen=True, slots=True)
class Thread:
    """A metric thread: nominal diameter, pitch, and the drill that the standard lists for its tap, in mm."""

    name: str
    diameter: float
    pitch: float
    drill: float

    @property
    def pitch_diameter(self) -> float:
        """Basic pitch diameter in mm (ISO 724)."""
        return self.diameter - 0.6495190528 * self.pitch

    @property
    def nut_minor_diameter(self) -> float:
        """Basic minor diameter of the internal thread in mm (ISO 724)."""
        return self.diameter - 1.0825317547 * self.pitch

    @property
    def stress_area(self) -> float:
        """Nominal stress area in mm², to the three digits of the published tables (ISO 898-1)."""
        root = self.diameter - 1.2268693222 * self.pitch
        area = math.pi / 4 * ((self.pitch_diameter + root) / 2) ** 2
        return float(f"{area:.3g}")


_COARSE = (
    Thread("M2", 2, 0.4, 1.6),
    Thread("M2.5", 2.5, 0.45, 2.05),
    Thread("M3", 3, 0.5, 2.5),
    Thread("M3.5", 3.5, 0.6, 2.9),
    Thread("M4", 4, 0.7, 3.3),
    Thread("M5", 5, 0.8, 4.2),
    Thread("M6", 6, 1, 5),
    Thread("M7", 7, 1, 6),
    Thread("M8", 8, 1.25, 6.8),
    Thread("M10", 10, 1.5, 8.5),
    Thread("M12", 12, 1.75, 10.2),
    Thread("M14", 14, 2, 12),
    Thread("M16", 16, 2, 14),
)
_FINE = (
    Thread("M6x0.75", 6, 0.75, 5.2),
    Thread("M8x1", 8, 1, 7),
    Thread("M10x1", 10, 1, 9),
    Thread("M10x1.25", 10, 1.25, 8.8),
    Thread("M12x1.25", 12, 1.25, 10.8),
    Thread("M12x1.5", 12, 1.5, 10.5),
    Thread("M14x1.25", 14, 1.25, 12.8),
    Thread("M14x1.5", 14, 1.5, 12.5),
    Thread("M16x1.5", 16, 1.5, 14.5),
    Thread("M18x1.5", 18, 1.5, 16.5),
)

THREADS: dict[str, Thread] = {thread.name: thread for thread in (*_COARSE, *_FINE)} | {
    f"{thread.name}x{thread.pitch:g}": thread for thread in _COARSE
}

ThreadSize = Annotated[str, choice("thread size; the pitch is left off for coarse threads", THREADS)]


@dataclass(frozen=True, slots=True)
class UnifiedThread:
    """A unified thread: nominal diameter in inches, threads an inch, the drill of the charts in inches."""

    name: str
    diameter: float
    per_inch: int
    drill: float

    @property
    def pitch_diameter(self) -> float:
        """Basic pitch diameter in inches (ASME B1.1)."""
        return self.diameter - 0.649519 / self.per_inch

    @property
    def nut_minor_diameter(self) -> float:
        """Basic minor diameter of the internal thread in inches (ASME B1.1)."""
        return self.diameter - 1.082532 / self.per_inch

    @property
    def stress_area(self) -> float:
        """Tensile stress area in square inches (ASME B1.1)."""
        return math.pi / 4 * (self.diameter - 0.9743 / self.per_inch) ** 2


_UNIFIED = (
    ("4-40", 0.112, 0.0890),
    ("4-48", 0.112, 0.0935),
    ("6-32", 0.138, 0.1065),
    ("6-40", 0.138, 0.1130),
    ("8-32", 0.164, 0.1360),
    ("8-36", 0.164, 0.1360),
    ("10-24", 0.190, 0.1495),
    ("10-32", 0.190, 0.1590),
    ("1/4-20", 0.25, 0.2010),
    ("1/4-28", 0.25, 0.2130),
    ("5/16-18", 0.3125, 0.2570),
    ("5/16-24", 0.3125, 0.2720),
    ("3/8-16", 0.375, 0.3125),
    ("3/8-24", 0.375, 0.3320),
    ("7/16-14", 0.4375, 0.3680),
    ("7/16-20", 0.4375, 0.3906),
    ("1/2-13", 0.5, 0.4219),
    ("1/2-20", 0.5, 0.4531),
    ("9/16-12", 0.5625, 0.4844),
    ("9/16-18", 0.5625, 0.5156),
    ("5/8-11", 0.625, 0.5312),
    ("5/8-18", 0.625, 0.5781),
)
UNIFIED_THREADS = {
    name: UnifiedThread(name, diameter, int(name.rpartition("-")[2]), drill)
    for name, diameter, drill in _UNIFIED
}

# Percent of full thread height per mm, for a pitch of 1 mm (general handbook rule for metric taps).
_SHARE_PER_PITCH = 76.98
_SHARE_PER_INCH = 0.01299
_SHEAR_OF_TENSILE = 0.577
_STRENGTHS = {"cast-aluminium": 200.0, "wrought-aluminium": 270.0, "cast-iron": 220.0, "steel": 420.0}
_RULES = {"cast-aluminium": 2.0, "wrought-aluminium": 1.75, "cast-iron": 1.5, "steel": 1.0}


def thread_share(thread: Thread, drill_mm: float) -> float:
    """Give the percentage of full thread that a drilled hole leaves for the tap."""
    return (thread.diameter - drill_mm) * _SHARE_PER_PITCH / thread.pitch


def drill_for_share(thread: Thread, percent: float) -> float:
    """Give the hole in mm that leaves a percentage of full thread."""
    return thread.diameter - percent * thread.pitch / _SHARE_PER_PITCH


def engagement(thread: Thread, bolt_tensile_mpa: float, part_tensile_mpa: float) -> float:
    """Give the length of engagement in mm at which the part's thread is as strong as the bolt.

    The part shears at its major diameter, where the basic profile leaves 7/8 of the pitch.
    """
    shear_per_mm = math.pi * thread.diameter * 0.875 * _SHEAR_OF_TENSILE * part_tensile_mpa
    return thread.stress_area * bolt_tensile_mpa / shear_per_mm


Share = Annotated[
    float | None, number("percentage of full thread; left out, the standard's drill", "%", 40, 100)
]
BoltStrength = Annotated[
    float, number("tensile strength of the bolt; 800 MPa for class 8.8", "MPa", 300, 1300)
]
PartStrength = Annotated[
    float | None, number("tensile strength of the part; left out, a usual one", "MPa", 50, 1000)
]


@formula(
    "Hole to drill for a metric tap",
    "mm",
    source="ISO 261 and ISO 262 sizes; ISO 2306 drills (from memory)",
    section="diameter less pitch; thread percentage by the general handbook rule for metric taps",
    validity="cutting taps; forming taps need a larger hole",
)
def _tap_drill(thread: ThreadSize, share: Share = None) -> FormulaValue:
    known = THREADS[thread]
    wide, pitch = show_number(known.diameter), show_number(known.pitch)
    if share is None:
        exact, drill = known.diameter - known.pitch, known.drill
        line = f"hole: {wide} − {pitch} mm = {show_number(exact, 4)} mm"
    else:
        exact = drill_for_share(known, share)
        drill = round(exact, 1)
        line = f"hole: {wide} − {show_number(share)} × {pitch} / {_SHARE_PER_PITCH} = {exact:.3f} mm"
    left = thread_share(known, drill)
    return worked(
        {
            "drill": (drill, "mm"),
            "exact": (exact, "mm"),
            "thread-share": (left, "%"),
            "nut-minor-diameter": (known.nut_minor_diameter, "mm"),
        },
        line,
        f"nearest drill {show_number(drill)} mm leaves ({wide} − {show_number(drill)})"
        f" × {_SHARE_PER_PITCH} / {pitch} = {left:.0f} % of full thread",
        notes=("use cutting oil, turn back to break the chip, and wear eye protection",),
    )


@formula(
    "Tap drill and sizes of a unified thread, as inch bolts have it",
    "in",
    source="ASME B1.1, Unified inch screw threads (from memory); drills as tap charts list them",
    section="pitch diameter D − 0.649519/n; stress area π/4 (D − 0.9743/n)²",
    validity="cutting taps, coarse and fine series; forming taps need a larger hole",
)
def _unified_thread(
    thread: Annotated[str, choice("size and threads an inch, such as 1/4-20", UNIFIED_THREADS)],
) -> FormulaValue:
    known = UNIFIED_THREADS[thread]
    share = (known.diameter - known.drill) * known.per_inch / _SHARE_PER_INCH
    return worked(
        {
            "drill": (known.drill, "in"),
            "thread-share": (share, "%"),
            "major-diameter": (known.diameter, "in"),
            "pitch-diameter": (known.pitch_diameter, "in"),
            "nut-minor-diameter": (known.nut_minor_diameter, "in"),
            "stress-area": (known.stress_area * 25.4**2, "mm²"),
        },
        f"pitch: 1 in / {known.per_inch} = {25.4 / known.per_inch:.4f} mm",
        f"drill {known.drill:.4f} in leaves ({known.diameter:.4f} − {known.drill:.4f}) ×"
        f" {known.per_inch} / {_SHARE_PER_INCH} = {share:.0f} % of full thread",
        f"stress area: π/4 × ({known.diameter:.4f} − 0.9743 / {known.per_inch})² ="
        f" {known.stress_area:.4f} square inches",
        notes=("use cutting oil, turn back to break the chip, and wear eye protection",),
    )


@formula(
    "How far a bolt must screw in to break before the thread strips",
    "mm",
    source="basic thread profile of ISO 68-1 with shear at the major diameter",
    section="shear strength 0.577 of tensile strength (von Mises); usual part strengths are"
    " common practice, no source",
    validity="the stripping length is for basic sizes: real threads need a quarter to a half more",
)
def _thread_engagement(
    thread: ThreadSize,
    bolt_strength: BoltStrength = 800,
    part: Annotated[str, choice("what the hole is in", _STRENGTHS)] = "cast-aluminium",
    part_strength: PartStrength = None,
) -> FormulaValue:
    known = THREADS[thread]
    strength = _STRENGTHS[part] if part_strength is None else part_strength
    length = engagement(known, bolt_strength, strength)
    rule = _RULES[part] * known.diameter
    return worked(
        {
            "length": (max(length, rule), "mm"),
            "stripping-length": (length, "mm"),
            "rule-of-thumb": (rule, "mm"),
        },
        f"stress area {show_number(known.stress_area)} mm² × {show_number(bolt_strength)} MPa ="
        f" {known.stress_area * bolt_strength:.0f} N",
        f"thread in the part holds π × {show_number(known.diameter)} mm × 0.875 × {_SHEAR_OF_TENSILE}"
        f" × {show_number(strength)} MPa per mm",
        f"as strong as the bolt from {show_number(length)} mm, {length / known.diameter:.2f} diameters",
        f"rule of thumb: {show_number(_RULES[part])} diameters = {show_number(rule)} mm ({PRACTICE})",
        notes=("the longer of the two is given; add the chamfer and the first turn, which carry nothing",),
    )
