"""What a mechanic found wrong in ignition and fuel, each slip with its likes: common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from faults.reach import causes_on, causes_under
from kickover.api import Walk
from kickover.core.ids import CheckId, EventId, FigureId, FindingId, MachineId, RepairId, SetupId, TraitId
from kickover.model.library import Check, CheckKind, FigureRef, Line, Repair, names_in
from kickover.model.limits import figure_of, resolved_bands
from worlds.shipped_library import loaded, shipped

LIBRARY = shipped()
MINE = ("ignition/", "fuel/")
WRENCHES = {"torque-wrench": (5.0, 60.0), "torque-driver": (1.0, 10.0)}
CLIP_ON = "clip-on-two-stroke"
STEP_THROUGH = "electric-step-through"
SCOOTER = "oil-pump-scooter"
UNDER_A_FLYWHEEL = ("points-moped", SCOOTER)


def repairs() -> Iterator[Repair]:
    return (one for one in LIBRARY.repairs.values() if any(room in str(one.place.file) for room in MINE))


def checks() -> Iterator[Check]:
    return (one for one in LIBRARY.checks.values() if any(room in str(one.place.file) for room in MINE))


def steps_of_mine() -> tuple[Check | Repair, ...]:
    return (*checks(), *repairs())


def text(step: Check | Repair) -> str:
    return " ".join((step.title, *step.how)).lower()


def fits(machine: str, step: Check | Repair) -> bool:
    return LIBRARY.machines[MachineId(machine)].fits(step.needs.only_if)


def ranked(complaint: str, machine: str) -> list[tuple[str, float]]:
    walk: Walk = loaded().walk(complaint, machine)
    return [(one.cause, one.probability) for one in walk.ranking()]


def place(complaint: str, machine: str, cause: str) -> int:
    """Its place in the ranking, from 1; behind them all if it is not under the complaint."""
    order = [one for one, _ in ranked(complaint, machine)]
    return order.index(cause) + 1 if cause in order else len(order) + 1


def line_of(check: str, event: str) -> Line:
    return next(one for one in LIBRARY.checks[CheckId(check)].lines if event in names_in(one.when))


SERVICED = [(one.title, one.needs) for one in LIBRARY.services.values()]
REMEMBERED = [one for one in checks() if "diamond-2020" in one.sources]


class TestTapAndMixtureOnTheRoad:
    def test_no_repair_starves_a_running_engine_by_its_tap(self) -> None:
        throttled = [one.id for one in repairs() if re.search(r"tap (nearly|half|almost)", one.title.lower())]

        assert throttled == []

    def test_the_tap_is_open_while_riding_and_shut_at_stops(self) -> None:
        offered = [one for one in repairs() if "float-level-high" in one.cures and one.roadside]

        assert any("shut" in text(one) and "fully open" in text(one) for one in offered)

    def test_a_mixture_tried_at_full_throttle_is_a_road_test_after_the_brakes(self) -> None:
        tried = [one for one in repairs() if "full throttle" in text(one) or "full load" in text(one)]

        assert tried
        for one in tried:
            assert "road" in one.needs.hazards, one.id
            assert SetupId("brakes-looked-over") in one.needs.setups, one.id

    def test_a_screw_or_jet_is_turned_with_the_engine_off(self) -> None:
        for name in ("open-main-screw", "set-main-screw", "rejet", "drill-main-jet"):
            said = text(LIBRARY.repairs[RepairId(name)])
            assert "engine off" in said or "switch off" in said, name

    def test_a_jet_is_chosen_downward_from_the_larger_one_and_read_on_a_cold_plug(self) -> None:
        said = text(LIBRARY.repairs[RepairId("rejet")])

        for word in ("next larger", "one size smaller", "clutch in", "plug read cold", "jet-for-density"):
            assert word in said, word

    def test_a_jet_is_drilled_and_never_made_smaller(self) -> None:
        drilled = LIBRARY.repairs[RepairId("drill-main-jet")]

        assert "pin-vice" in drilled.needs.tools
        assert "jets-rich-for-height" not in drilled.cures
        assert "never smaller" in text(drilled)


class TestCoilsByTheirKind:
    @pytest.mark.parametrize("machine", [STEP_THROUGH])
    def test_a_coil_with_two_tags_is_read_to_a_tag_and_not_to_its_core(self, machine: str) -> None:
        coils = (one for one in checks() if one.id.startswith("coil-secondary"))
        read = [one for one in coils if fits(machine, one)]

        assert [one.id for one in read] == ["coil-secondary-to-tag-resistance"]
        assert "core" not in read[0].ask

    def test_a_coil_that_ends_at_its_core_is_read_there(self) -> None:
        read = [one.id for one in checks() if one.id.startswith("coil-secondary") and fits(CLIP_ON, one)]

        assert read == ["coil-secondary-resistance"]

    def test_closed_points_are_not_read_as_a_shorted_winding(self) -> None:
        assert "points" in text(LIBRARY.checks[CheckId("coil-primary-resistance")])

    @pytest.mark.parametrize("machine", [CLIP_ON, *UNDER_A_FLYWHEEL])
    def test_a_gap_to_the_magnets_is_offered_only_where_it_can_be_set(self, machine: str) -> None:
        here = MachineId(machine)
        known = set().union(*(causes_on(here, complaint) for complaint in LIBRARY.complaints))
        steps = [one.id for one in steps_of_mine() if "magnet-gap" in str(one) and fits(machine, one)]

        assert EventId("magnet-gap-wide") not in known
        assert "set-magnet-gap" not in steps
        assert "magnet-air-gap" not in steps

    def test_a_charge_coil_that_is_earthed_at_one_end_is_not_called_broken(self) -> None:
        said = text(LIBRARY.repairs[RepairId("mend-charging")])

        assert "earthed at its other end" in said
        assert "none to the frame" not in said

    def test_kilo_ohms_in_a_resistive_lead_are_sound(self) -> None:
        check = LIBRARY.checks[CheckId("lead-resistance-end-to-end")]
        kind = FindingId("resistive")
        broken = line_of(check.id, "lead-broken").chances[kind]

        assert check.reading is not None
        assert "resistive" in [band.finding for band in check.reading.bands]
        assert check.lines[-1].chances[kind] > 2 * broken


class TestReachUnderTheFlywheel:
    @pytest.mark.parametrize(
        "step",
        [
            "points-spring-pull",
            "points-contact-resistance",
            "condenser-capacitance",
            "condenser-insulation",
        ],
    )
    def test_what_lies_behind_the_flywheel_is_measured_with_it_off(self, step: str) -> None:
        assert SetupId("flywheel-off") in LIBRARY.checks[CheckId(step)].needs.setups

    @pytest.mark.parametrize("step", ["fit-new-condenser", "fit-new-trigger-coil", "set-timing"])
    def test_what_lies_behind_the_flywheel_is_changed_with_it_off(self, step: str) -> None:
        assert SetupId("flywheel-off") in LIBRARY.repairs[RepairId(step)].needs.setups

    @pytest.mark.parametrize("cause", ["charge-coil-open", "source-coil-open"])
    def test_a_charge_coil_is_reached_as_its_magneto_is_built(self, cause: str) -> None:
        lasting = [one for one in repairs() if EventId(cause) in one.cures and not one.roadside]
        behind = {SetupId("flywheel-off") in one.needs.setups for one in lasting}

        assert behind == {cause == "charge-coil-open"}

    def test_the_puller_is_used_with_the_nut_left_on(self) -> None:
        said = " ".join(LIBRARY.setups[SetupId("flywheel-off")].how)

        assert "nut back on by a few threads" in said
        assert "left-hand" in said


class TestWordsAndTools:
    def test_no_emery_comes_near_contact_points(self) -> None:
        done = (*((one.title, one.needs) for one in repairs()), *SERVICED)
        near = [
            title for title, needs in done if "points" in title.lower() and "emery-and-card" in needs.tools
        ]

        assert near == []
        assert "never emery" in text(LIBRARY.repairs[RepairId("clean-points")])

    def test_a_stop_switch_stands_at_off(self) -> None:
        loose = [one.id for one in steps_of_mine() if "stop switch off" in text(one)]

        assert loose == []

    def test_a_lasting_repair_lists_a_wrench_that_shows_its_torque(self) -> None:
        for one in repairs():
            numbers = [float(figure) for figure in re.findall(r"([\d.]+) N·m", one.torque)]
            if one.roadside or not numbers or "plug" in one.torque.lower():
                continue
            spans = [WRENCHES[tool] for tool in one.needs.tools if tool in WRENCHES]
            for number in numbers:
                assert any(least <= number <= most for least, most in spans), (one.id, number)

    def test_the_torque_of_a_plug_goes_by_its_thread(self) -> None:
        figure = next(one for id_, one in LIBRARY.figures.items() if id_ == "plug-torque")
        threads = [set(names_in(when)) for when, _ in figure.assumed]
        small, middle, large = (value.value for _, value in figure.assumed)

        assert threads == [{"plug-thread-m10"}, {"plug-thread-m12"}, set()]
        assert 10 <= small <= 12
        assert 15 <= middle <= 20
        assert 20 <= large <= 29
        assert TraitId("plug-thread-m10") in LIBRARY.machines[MachineId(STEP_THROUGH)].traits

    def test_a_source_that_was_seen_does_not_say_from_memory(self) -> None:
        paschen = next(one for id_, one in LIBRARY.sources.items() if id_ == "paschen")

        assert "from memory" not in paschen.detail.lower()

    @pytest.mark.parametrize(
        ("step", "least"),
        [
            ("battery-volts-at-rest", 10),
            ("fuel-sample", 10),
            ("oil-spot-on-paper", 10),
            ("frost-look", 10),
            ("cool-and-wait", 15),
            ("dry-ignition", 15),
            ("wash-air-filter", 20),
            ("charge-battery", 90),
            ("wait-for-thaw", 10),
            ("plug-after-full-load", 10),
        ],
    )
    def test_a_step_counts_the_minutes_that_its_own_text_takes(self, step: str, least: float) -> None:
        found = [one.needs.minutes for one in steps_of_mine() if one.id == step]

        assert found[0] >= least


class TestHowOftenInProportion:
    @pytest.mark.parametrize("complaint", ["will-not-idle", "bogs", "no-power", "smokes", "runs-rough"])
    def test_a_flat_battery_is_no_leading_cause_in_a_running_engine(self, complaint: str) -> None:
        assert place(complaint, STEP_THROUGH, "battery-flat") > 8

    @pytest.mark.parametrize("complaint", ["will-not-idle", "bogs", "no-power", "smokes", "runs-rough"])
    def test_an_ignition_that_does_not_live_on_the_battery_does_not_care_for_it(self, complaint: str) -> None:
        assert not {"battery-flat", "battery-terminal-loose", "charging-dead"} & causes_on(
            MachineId(SCOOTER), EventId(complaint)
        )

    def test_smoke_is_oil_before_a_leaking_needle(self) -> None:
        found = dict(ranked("smokes", CLIP_ON))

        assert found["premix-too-oily"] > found["float-needle-leaks"]
        assert found["float-needle-leaks"] < 0.1

    def test_heat_is_too_little_oil_before_a_sheared_key(self) -> None:
        found = dict(ranked("overheats", CLIP_ON))

        assert found["premix-lean-in-oil"] > 2 * found["flywheel-key-sheared"]

    def test_the_coil_of_a_bolt_on_magneto_fails_before_one_under_a_flywheel(self) -> None:
        assert (
            LIBRARY.causes[EventId("source-coil-open")].rate
            > 2 * LIBRARY.causes[EventId("charge-coil-open")].rate
        )


class TestUnderTheRightComplaints:
    @pytest.mark.parametrize(
        ("cause", "complaints"),
        [
            ("condenser-open", ("no-spark-seen", "will-not-start", "no-power", "runs-rough")),
            ("plug-cap-open", ("no-spark-seen", "starts-then-dies", "no-power", "bogs", "runs-rough")),
            ("pulse-line-leaks", ("will-not-start", "starts-then-dies", "no-power", "bogs")),
            ("pump-diaphragm-worn", ("will-not-start", "starts-then-dies", "no-power", "bogs")),
            ("inlet-screen-blocked", ("will-not-start", "starts-then-dies", "no-power", "bogs")),
            ("fuel-pump-worn", ("will-not-start", "starts-then-dies", "no-power", "bogs")),
            ("tap-blocked", ("will-not-start", "starts-then-dies", "no-power", "bogs")),
        ],
    )
    def test_a_part_that_matters_in_a_running_engine_hangs_there_too(
        self, cause: str, complaints: tuple[str, ...]
    ) -> None:
        missing = [one for one in complaints if EventId(cause) not in causes_under(EventId(one))]

        assert missing == []


class TestWeightOfAnAnswer:
    @pytest.mark.parametrize(
        ("check", "finding", "event"),
        [
            ("plug-close-look", "cracked", "plug-insulator-cracked"),
            ("plug-close-look", "bridged", "plug-gap-closed"),
            ("flywheel-key-look", "stepped", "flywheel-key-sheared"),
            ("reed-look", "chipped", "reed-broken"),
            ("cap-and-lead-look", "tracked", "lead-leaking"),
            ("stop-wire-look", "chafed", "kill-wire-chafed"),
            ("intake-look", "cracked", "intake-stub-cracked"),
            ("hose-look", "cracked", "fuel-hose-cracked"),
            ("jets-look", "main-blocked", "main-jet-blocked"),
            ("fuse-look", "no", "ignition-fuse-blown"),
            ("bulb-look", "yes", "bulb-burnt"),
            ("float-shake", "yes", "float-holed"),
            ("slide-diaphragm-look", "yes", "slide-diaphragm-torn"),
        ],
    )
    def test_a_part_seen_broken_weighs_much_more_than_thirteen_to_one(
        self, check: str, finding: str, event: str
    ) -> None:
        sound = LIBRARY.checks[CheckId(check)].lines[-1].chances[FindingId(finding)]

        assert line_of(check, event).chances[FindingId(finding)] / sound >= 40

    @pytest.mark.parametrize("check", REMEMBERED, ids=lambda one: one.id)
    def test_an_answer_from_memory_decides_nothing_alone(self, check: Check) -> None:
        sound = check.lines[-1].chances
        told = [one for one in sound if sound[one] >= 0.05]
        most = max(line.chances[one] / sound[one] for line in check.lines[:-1] for one in told)

        assert check.kind is CheckKind.QUESTION
        assert most <= 9


SOUND = {"right", "whole", "clean", "good", "quick", "ordinary", "sound", "long", "holds", "flat"}
NO_READING = {"battery-voltage", "tester-gap", "plug-cap-resistance", "reed-gap-most"}


def figures_of(check: Check) -> set[FigureId]:
    """The figures that the limits of a measurement are shares of, with those that are no reading left out."""
    assert check.reading is not None
    limits = (limit for band in check.reading.bands for limit in (band.low, band.high) if limit is not None)
    named = {limit.base.figure for limit in limits if isinstance(limit.base, FigureRef)}
    return {one for one in named if one not in NO_READING}


OF_A_FIGURE = [(one, figure) for one in checks() if one.reading is not None for figure in figures_of(one)]


class TestBandsAgainstTheFigures:
    """Left out are figures that are no reading: a nominal voltage, largest gaps, one resistor of several."""

    @pytest.mark.parametrize(("check", "figure"), OF_A_FIGURE, ids=lambda one: getattr(one, "id", one))
    def test_a_reading_at_the_figure_of_the_machine_is_called_sound(
        self, check: Check, figure: FigureId
    ) -> None:
        assert check.reading is not None
        for machine in LIBRARY.machines.values():
            if machine.fits(check.needs.only_if):
                usual = figure_of(LIBRARY, machine, figure).within(check.reading.unit)
                edges = resolved_bands(check.reading, LIBRARY, machine)
                band = check.reading.bands[sum(edge <= usual for edge in edges)]

                assert band.finding in SOUND, (machine.id, band.finding)
