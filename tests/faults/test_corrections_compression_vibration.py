"""What a mechanic found wrong in compression, drive and fasteners, and its likes: common practice."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

import pytest

import kickover
from faults.reach import causes_under, shipped
from kickover.core.ids import CheckId, EventId, MachineId, RepairId, SetupId
from kickover.model.library import Check, Repair

LIBRARY = shipped()
MINE = ("compression/", "vibration/")
WRENCHES = {"torque-wrench": (5.0, 60.0), "torque-driver": (1.0, 10.0)}
SETUPS = {str(one): setup for one, setup in LIBRARY.setups.items()}
INVENTED = [str(name) for name, one in LIBRARY.machines.items() if one.invented]
# Bore and stroke in mm that are widely known as those of engines that exist: from memory.
OF_ENGINES_THAT_EXIST = {(47, 38), (47, 40), (38, 43), (38, 42), (39, 41.4), (41, 37.4), (40, 39.6), (36, 32)}


def repairs() -> Iterator[Repair]:
    return (one for one in LIBRARY.repairs.values() if any(room in str(one.place.file) for room in MINE))


def checks() -> Iterator[Check]:
    return (one for one in LIBRARY.checks.values() if any(room in str(one.place.file) for room in MINE))


def text(step: Check | Repair) -> str:
    return " ".join((step.title, *step.how)).lower()


def repair(name: str) -> Repair:
    return LIBRARY.repairs[RepairId(name)]


def figure(machine: str, name: str) -> float:
    own = LIBRARY.machines[MachineId(machine)].figures
    return next(value.value for id_, value in own.items() if id_ == name)


def caution(name: str) -> str:
    return next(one.caution for id_, one in LIBRARY.hazards.items() if id_ == name).lower()


class TestSeizedEngines:
    @pytest.mark.parametrize("cause", ["piston-seized", "piston-scored", "piston-holed", "ring-broken"])
    def test_a_damaged_piston_is_not_ridden(self, cause: str) -> None:
        assert not LIBRARY.causes[EventId(cause)].ride

    def test_a_freed_piston_is_pushed_and_never_ridden_home(self) -> None:
        freed = [one for one in repairs() if one.roadside and EventId("piston-seized") in one.cures]

        assert freed
        for one in freed:
            assert "ride home" not in text(one) + one.lasts, one.id
            assert "push" in text(one), one.id


class TestPressureAndTorque:
    def test_a_crankcase_is_pumped_with_the_inlet_of_a_piston_port_open(self) -> None:
        said = " ".join(SETUPS["crankcase-sealed"].how).lower()

        assert "piston-ported" in said
        assert "piston at the top" in said
        assert "through the exhaust" in said

    @pytest.mark.parametrize("check", ["head-nut-torque", "mount-bolt-torque"])
    def test_a_nut_that_moves_at_once_is_slack(self, check: str) -> None:
        found = LIBRARY.checks[CheckId(check)]

        assert "moves at once, at the lowest mark, is slack: write 0" in text(found)
        assert "60 %" not in text(found)

    def test_a_lasting_repair_lists_a_wrench_that_shows_its_torque(self) -> None:
        for one in repairs():
            if one.roadside or not one.torque or one.id == "respoke-and-tension":
                continue
            spans = [WRENCHES[tool] for tool in one.needs.tools if tool in WRENCHES]
            assert spans, one.id
            for number in map(float, re.findall(r"([\d.]+) N·m", one.torque)):
                assert any(least <= number <= most for least, most in spans), (one.id, number)

    def test_a_torque_of_the_mounts_is_not_laid_to_a_standard_of_bolt_strength(self) -> None:
        mounts = next(one for id_, one in LIBRARY.figures.items() if id_ == "mount-torque")

        assert mounts.sources == ("common-practice",)


class TestClutch:
    def test_play_is_asked_and_measured_at_one_place(self) -> None:
        found = LIBRARY.checks[CheckId("clutch-free-play")]

        assert "outer end" in found.ask
        assert "and not the gap at its pivot" in text(found)

    def test_its_limit_is_that_of_the_outer_end(self) -> None:
        assumed = next(one for id_, one in LIBRARY.figures.items() if id_ == "clutch-free-play").assumed

        assert assumed[-1][1].value == pytest.approx(10)
        for machine in ("points-moped", "clip-on-two-stroke"):
            assert 8 <= figure(machine, "clutch-free-play") <= 12

    @pytest.mark.parametrize("name", ["set-clutch-cable", "renew-clutch-cable"])
    def test_it_is_set_to_what_is_measured(self, name: str) -> None:
        assert "8 to 12 mm" in text(repair(name))


class TestCautions:
    def test_caustic_cleaner_is_kept_off_aluminium(self) -> None:
        for one in (one for one in repairs() if "caustic" in text(one)):
            assert "never on aluminium" in text(one), one.id
        assert "caustic never on aluminium" in caution("chemicals")

    def test_brake_cleaner_meets_cold_metal_only(self) -> None:
        used = [one for one in repairs() if "brake cleaner" in text(one)]

        assert used
        for one in used:
            assert "cold" in text(one), one.id
        assert "brake cleaner on hot metal" in caution("chemicals")

    def test_a_case_in_the_oven_is_free_of_fuel(self) -> None:
        heated = [one for one in repairs() if " oven" in text(one)]

        assert heated
        for one in heated:
            assert "free of fuel" in text(one), one.id

    @pytest.mark.parametrize(
        ("hazard", "word"),
        [("chemicals", "asbestos"), ("fuel-vapour-fire", "static"), ("moving-parts", "no gloves")],
    )
    def test_a_hazard_says_what_harms(self, hazard: str, word: str) -> None:
        assert word in caution(hazard)

    @pytest.mark.parametrize("name", ["renew-clutch-linings", "degrease-clutch"])
    def test_dust_of_old_linings_is_kept_wet(self, name: str) -> None:
        assert "asbestos" in text(repair(name))

    def test_no_check_puts_gloves_near_a_running_engine(self) -> None:
        assert [one.id for one in checks() if "gloves on." in text(one)] == []

    def test_a_stop_switch_stands_at_off(self) -> None:
        steps = [text(one) for one in (*checks(), *repairs())]
        setups = [" ".join(one.how).lower() for one in LIBRARY.setups.values()]
        hazards = [one.caution.lower() for one in LIBRARY.hazards.values()]
        asked = [one.ask.lower() for one in checks()]

        loose = [one for one in (*steps, *setups, *hazards, *asked) if "switch off" in one]

        assert loose == []


class TestDrive:
    def test_a_sprocket_is_no_cure_for_a_belt_or_a_roller(self) -> None:
        for one in (one for one in repairs() if EventId("worked-too-hard") in one.cures):
            for machine in ("roller-two-stroke", "oil-pump-scooter", "electric-step-through"):
                here = LIBRARY.machines[MachineId(machine)]
                assert not ("sprocket" in text(one) and here.fits(one.needs.only_if)), (one.id, machine)

    def test_a_belt_case_takes_longer_than_a_guard(self) -> None:
        assert SETUPS["belt-case-off"].needs.minutes >= 8
        behind = [one for one in (*checks(), *repairs()) if SetupId("belt-case-off") in one.needs.setups]
        assert {"belt-width", "cure-belt-oil"} <= {str(one.id) for one in behind}


class TestInventedMachines:
    @pytest.mark.parametrize("machine", INVENTED)
    def test_no_bore_and_stroke_is_that_of_an_engine_that_exists(self, machine: str) -> None:
        assert (figure(machine, "bore"), figure(machine, "stroke")) not in OF_ENGINES_THAT_EXIST

    @pytest.mark.parametrize("machine", INVENTED)
    def test_what_it_says_of_its_size_is_its_displacement(self, machine: str) -> None:
        named = re.search(r"(\d+) cc", LIBRARY.machines[MachineId(machine)].about)
        bore, stroke = figure(machine, "bore"), figure(machine, "stroke")

        assert named
        assert math.pi / 4 * bore**2 * stroke / 1000 == pytest.approx(int(named[1]), abs=0.5)

    @pytest.mark.parametrize("machine", INVENTED)
    def test_it_cruises_as_fast_as_its_kind_does(self, machine: str) -> None:
        turns = figure(machine, "cruise-speed") / figure(machine, "reduction")
        speed = turns * math.pi * figure(machine, "wheel-diameter") * 60 / 1e6

        assert 28 <= speed <= 47

    def test_a_roller_is_geared_as_its_wheel_to_its_roller(self) -> None:
        here = "roller-two-stroke"

        assert figure(here, "reduction") == pytest.approx(
            figure(here, "wheel-diameter") / figure(here, "roller-diameter"), rel=0.01
        )


class TestComplaintsOfDriveAndBrakes:
    @pytest.mark.parametrize(
        ("complaint", "causes"),
        [
            ("clutch-slips-or-drags", {"clutch-no-free-play", "clutch-plates-stuck", "clutch-glazed"}),
            (
                "starter-turns-engine-does-not",
                {"kick-gear-slips", "recoil-pawls-slip", "one-way-clutch-slips"},
            ),
            ("brakes-drag", {"brake-drags", "brake-reach-long", "brake-linings-worn", "brake-cable-stiff"}),
        ],
    )
    def test_a_complaint_of_its_own_leads_to_its_causes(self, complaint: str, causes: set[str]) -> None:
        assert causes <= {str(one) for one in causes_under(EventId(complaint))}

    def test_a_brake_that_does_not_hold_is_not_ridden(self) -> None:
        for cause in ("brake-reach-long", "brake-linings-worn", "brake-linings-oily", "brake-cable-stiff"):
            assert not LIBRARY.causes[EventId(cause)].ride, cause

    def test_a_failed_look_over_leads_to_a_repair(self) -> None:
        said = " ".join(SETUPS["brakes-looked-over"].how)

        assert LIBRARY.complaints[EventId("brakes-drag")].title in said

    @pytest.mark.parametrize(
        ("check", "finding", "cause"),
        [
            ("brake-lever-reach", "to-the-grip", "brake-reach-long"),
            ("brake-linings-look", "thin", "brake-linings-worn"),
            ("brake-linings-look", "wet", "brake-linings-oily"),
            ("brake-cable-look", "yes", "brake-cable-stiff"),
        ],
    )
    def test_what_is_seen_of_a_brake_names_its_cause(self, check: str, finding: str, cause: str) -> None:
        walk = kickover.load().walk("brakes-drag", "points-moped")
        walk.record(check, finding)

        assert walk.ranking()[0].cause == cause
