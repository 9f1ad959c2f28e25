"""Slips of compression and vibration that a mechanic would mend, each held so that it does not come back.

Trade rules here are common practice, no source.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

import pytest

from kickover.core.ids import CheckId, EventId, FigureId, ItemId, MachineId, RepairId, SetupId, TraitId
from kickover.formulas import compute
from kickover.model.library import Check, Repair
from kickover.model.limits import figure_of, resolved_bands
from worlds.shipped_library import loaded, shipped

LIBRARY = shipped()
OWN = [machine for machine in LIBRARY.machines.values() if not machine.id.startswith("unknown-")]
ROOMS = ("compression/", "vibration/")
WRENCHES = {"torque-wrench": (5.0, 60.0), "torque-driver": (1.0, 10.0)}


def mine(kind: str) -> Iterator[Check | Repair]:
    steps = LIBRARY.checks if kind == "checks" else LIBRARY.repairs
    return (one for one in steps.values() if any(room in str(one.place.file) for room in ROOMS))


def shares(complaint: str, machine: str) -> dict[str, float]:
    return {one.cause: one.probability for one in loaded().walk(complaint, machine).ranking()}


def text_of_everything() -> str:
    steps = [one.how for one in LIBRARY.checks.values()]
    steps += [one.how for one in LIBRARY.repairs.values()]
    steps += [one.how for one in LIBRARY.setups.values()]
    cautions = " ".join(hazard.caution for hazard in LIBRARY.hazards.values())
    return cautions + " ".join(" ".join(how) for how in steps)


@pytest.mark.parametrize("cause", ["piston-scored", "piston-seized", "piston-holed", "ring-broken"])
def test_nobody_rides_with_a_piston_that_grips_or_has_a_hole(cause: str) -> None:
    assert not LIBRARY.causes[EventId(cause)].ride


def test_a_seized_engine_that_was_freed_is_pushed_home() -> None:
    said = " ".join(LIBRARY.repairs[RepairId("let-it-cool")].how)
    assert "do not ride" in said
    assert "ride home" not in said


def test_the_stop_switch_is_at_off_and_never_just_off() -> None:
    assert "stop switch off" not in text_of_everything()


def test_the_crankcase_is_pumped_where_the_inlet_is_open() -> None:
    said = " ".join(LIBRARY.setups[SetupId("crankcase-sealed")].how)
    assert "Piston at the top" in said
    assert "reeds" in said


def test_caustic_never_meets_aluminium() -> None:
    for repair in LIBRARY.repairs.values():
        said = " ".join(repair.how).lower()
        assert "caustic" not in said or "aluminium" in said, repair.id


def test_brake_cleaner_meets_cold_metal_only() -> None:
    for repair in LIBRARY.repairs.values():
        said = " ".join(repair.how).lower()
        assert "brake cleaner" not in said or "cold" in said, repair.id


def test_a_case_goes_into_the_oven_free_of_fuel() -> None:
    for repair in LIBRARY.repairs.values():
        said = " ".join(repair.how).lower()
        assert " oven" not in said or "free of fuel" in said, repair.id


def test_clutch_play_is_measured_where_its_limit_holds() -> None:
    check = LIBRARY.checks[CheckId("clutch-free-play")]
    assert "pivot" not in " ".join(check.how)
    for machine in OWN:
        if "clutch-free-play" in machine.figures:
            assert 8.0 <= machine.figures["clutch-free-play"].within("mm") <= 15.0  # type: ignore[index]


@pytest.mark.parametrize("machine", OWN, ids=lambda machine: machine.id)
def test_the_figures_of_a_machine_agree_with_each_other(machine: object) -> None:
    figures = {str(name): value for name, value in machine.figures.items()}  # type: ignore[attr-defined]
    swept = compute(
        "cylinder-displacement", {"bore": figures["bore"], "stroke": figures["stroke"]}
    ).value.value
    said = next(word for word in machine.about.split() if word.isdigit())  # type: ignore[attr-defined]
    assert swept == pytest.approx(float(said), abs=0.6)
    speed = compute(
        "road-speed",
        {
            "rpm": figures["cruise-speed"],
            "reduction": figures["reduction"],
            "wheel": figures["wheel-diameter"],
        },
    ).value.value
    assert 25.0 <= speed <= 55.0
    assert figures["rod-length"].value > figures["stroke"].value
    assert math.isfinite(speed)


@pytest.mark.parametrize("known", [(47.0, 38.0), (39.0, 41.4), (40.0, 39.0), (38.0, 43.0), (36.0, 32.0)])
def test_no_machine_has_the_bore_and_stroke_of_an_engine_that_exists(known: tuple[float, float]) -> None:
    for machine in OWN:
        figures = {
            str(name): value.within("mm")
            for name, value in machine.figures.items()
            if name in {"bore", "stroke"}
        }
        assert (figures["bore"], figures["stroke"]) != known


@pytest.mark.parametrize("check", ["mount-bolt-torque", "head-nut-torque"])
@pytest.mark.parametrize("machine", OWN, ids=lambda machine: machine.id)
def test_a_nut_that_moves_at_the_lowest_mark_of_the_wrench_is_slack(check: str, machine: object) -> None:
    known = LIBRARY.checks[CheckId(check)]
    assert known.reading is not None
    lowest = resolved_bands(known.reading, LIBRARY, machine)[0]  # type: ignore[arg-type]

    assert known.needs.tools == (ItemId("torque-wrench"),)
    assert lowest > WRENCHES["torque-wrench"][0]
    assert "at the lowest mark, is slack" in " ".join(known.how)


@pytest.mark.parametrize("repair", list(mine("repairs")), ids=lambda one: one.id)
def test_a_lasting_repair_lists_a_wrench_that_shows_its_torque(repair: Repair) -> None:
    said = [float(number) for number in re.findall(r"([\d.]+) N·m", repair.torque)]
    figures = [one for one in repair.figures if one.endswith("torque")]
    for machine in LIBRARY.machines.values():
        if machine.fits(repair.needs.only_if):
            said += [figure_of(LIBRARY, machine, one).within("N·m") for one in figures]
    spans = [WRENCHES[tool] for tool in repair.needs.tools if tool in WRENCHES]

    if not repair.roadside:
        for number in said:
            assert any(least <= number <= most for least, most in spans), number


@pytest.mark.parametrize("machine", OWN, ids=lambda machine: machine.id)
def test_the_torque_of_a_plug_goes_by_its_thread(machine: object) -> None:
    traits = machine.traits  # type: ignore[attr-defined]
    torque = figure_of(LIBRARY, machine, FigureId("plug-torque")).within("N·m")  # type: ignore[arg-type]
    least, most = (20, 29)
    if TraitId("plug-thread-m10") in traits:
        least, most = (10, 12)
    if TraitId("plug-thread-m12") in traits:
        least, most = (15, 20)

    assert least <= torque <= most


def test_only_a_chain_is_geared_by_its_sprockets() -> None:
    sprockets = [one for one in LIBRARY.repairs.values() if ItemId("sprockets") in one.needs.spares]

    assert sprockets
    for machine in LIBRARY.machines.values():
        if TraitId("chain-drive") not in machine.traits:
            assert not [
                one.id
                for one in sprockets
                if machine.fits(one.needs.only_if)
                and any(machine.fits(LIBRARY.causes[cause].only_if) for cause in one.cures)
            ]


@pytest.mark.parametrize(
    ("step", "least"),
    [
        ("chalk-for-cracks", 15),
        ("exhaust-loosened-run", 30),
        ("torque-head", 45),
        ("insert-head-stud", 90),
        ("lock-fasteners-properly", 60),
        ("let-it-cool", 35),
        ("soak-and-free", 480),
        ("warm-the-engine", 60),
        ("wash-fins", 20),
        ("top-up-oil", 10),
        ("paint-line-creep", 25),
        ("cool-down-and-spare", 20),
    ],
)
def test_a_step_counts_the_minutes_that_its_own_text_takes(step: str, least: float) -> None:
    found = [one for kind in ("checks", "repairs") for one in mine(kind) if one.id == step]

    assert found[0].needs.minutes >= least


@pytest.mark.parametrize(
    "repair",
    ["renew-clutch-linings", "degrease-clutch", "free-brake", "new-head-gasket", "new-exhaust-gasket"],
)
def test_old_linings_and_gaskets_are_kept_wet(repair: str) -> None:
    assert "dust" in LIBRARY.repairs[RepairId(repair)].needs.hazards
    assert "asbestos" in next(one.caution for id_, one in LIBRARY.hazards.items() if id_ == "dust")


@pytest.mark.parametrize(
    ("hazard", "word"),
    [("fuel-vapour-fire", "static"), ("moving-parts", "gloves"), ("chemicals", "never on aluminium")],
)
def test_the_caution_says_what_a_mechanic_would(hazard: str, word: str) -> None:
    assert word in next(one.caution for id_, one in LIBRARY.hazards.items() if id_ == hazard).lower()


def test_nobody_is_told_to_wear_gloves_at_moving_parts() -> None:
    for kind in ("checks", "repairs"):
        for one in mine(kind):
            if "exhaust-gas" in one.needs.hazards and "moving-parts" in one.needs.hazards:
                assert "gloves on" not in " ".join(one.how).lower(), one.id


def test_the_play_of_the_clutch_has_one_place_and_one_limit() -> None:
    said = [" ".join(one.how) for one in mine("repairs") if "clutch" in one.id]
    said += [one.prevention for one in LIBRARY.causes.values() if one.id.startswith("clutch-")]

    assert not [one for one in said if re.search(r"[234] to [34] mm", one)]


@pytest.mark.parametrize("source", ["tm-10-4320-309-14", "tm-5-4320-234-12"])
def test_a_source_that_was_seen_does_not_say_from_memory(source: str) -> None:
    assert "memory" not in next(one.detail for id_, one in LIBRARY.sources.items() if id_ == source).lower()


def test_a_figure_names_no_source_that_does_not_give_it() -> None:
    figure = next(one for id_, one in LIBRARY.figures.items() if id_ == "mount-torque")

    assert figure.sources == ("common-practice",)


@pytest.mark.parametrize("machine", [one.id for one in OWN])
def test_no_six_causes_of_smoke_or_heat_are_alike(machine: MachineId) -> None:
    for complaint in ("smokes", "overheats"):
        found = sorted(shares(complaint, machine).values(), reverse=True)[:6]
        assert found[0] > 1.5 * found[5], complaint


@pytest.mark.parametrize("machine", OWN, ids=lambda machine: machine.id)
def test_the_kind_of_ignition_is_that_of_the_traits(machine: object) -> None:
    about, traits = machine.about, machine.traits  # type: ignore[attr-defined]
    if "contact points" in about:
        assert TraitId("contact-points") in traits
    if "transistor" in about:
        assert TraitId("magneto-transistor") in traits
    assert ("battery and coil" in about) == (TraitId("battery-coil") in traits)
