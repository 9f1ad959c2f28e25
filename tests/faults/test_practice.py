"""Rules that mechanics share, held against the shipped library: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import takewhile

import pytest

from faults.perfect_tester import BENCH, finding_of, hidden, model_of
from faults.reach import causes_under
from kickover.api import Loaded, Walk
from kickover.core.ids import CheckId, EventId, FindingId, KitId, MachineId
from kickover.inference.compiled_model import EngineState
from kickover.inference.hypotheses import ENDED
from kickover.model.library import CheckKind, names_in
from kickover.planning.job_state import Job, step_cost
from kickover.session.entries import Answered, Prepared, Proved, Repaired, Waited
from kickover.session.session import Phase, Session, begin
from worlds.shipped_library import shipped
from worlds.sure_repairs import row_after

LIBRARY = shipped()
CLIP_ON = MachineId("clip-on-two-stroke")
NO_SPARK = EventId("no-spark-seen")

ASKS_ABOUT_KILL_LEAD = {"spark-with-kill-lead-off", "stop-wire-look"}
ASKS_ABOUT_SWITCH = {
    "look-round-first",
    "kill-switch-in-run",
    "spark-with-switch-end-off",
    "spark-with-kill-lead-off",
}
FREE_OF_PARTS = {
    "plug-cap-off",
    "plug-out",
    "stop-lead-off",
    "brakes-looked-over",
    "mounts-looked-over",
    "wheel-lifted",
}


def walk(loaded: Loaded, complaint: str, machine: str, *seen: str, given: tuple[str, ...] = ()) -> Walk:
    """A walk with answers already given, each as `check=finding`."""
    begun = loaded.walk(complaint, machine, given)
    for answer in seen:
        check, _, finding = answer.partition("=")
        begun.record(check, finding)
    return begun


def first(walked: Walk) -> str:
    return walked.ranking()[0].cause


def share(walked: Walk, *causes: str) -> float:
    return sum(ranked.probability for ranked in walked.ranking() if ranked.cause in causes)


def steps(session: Session, cause: str, kit: bool = True) -> Iterator[tuple[str, str]]:
    """What a guided walk asks for, as (phase, id), while the answers are those of one fault."""
    row = hidden(session.model, EventId(cause))
    for _ in range(60):
        task = session.task()
        if task.phase in {Phase.MENDED, Phase.GIVE_UP, Phase.GIVEN_UP}:
            return
        yield task.phase.value, task.id
        match task.phase:
            case Phase.CHECK:
                state = EngineState(session.job.houses, session.belief.made)
                left = row_after(session.model, row, session.belief.made)
                seen = finding_of(session.model, CheckId(task.id), left, state)
                session = session.record(Answered(task.id, seen))
            case Phase.REPAIR:
                session = session.record(Repaired(task.id))
            case Phase.PROOF:
                assert session.proving is not None
                made = session.belief.made | {session.proving}
                session = session.record(Proved(row_after(session.model, row, made) == ENDED))
            case _:
                assert task.preparation is not None
                ready = task.preparation
                if ready.setup is None:
                    session = session.record(Waited(ready.wait_for or ""))
                else:
                    session = session.record(Prepared(ready.setup, ready.undo))


class TestNoSpark:
    def test_switch_and_kill_lead_are_asked_about_before_anything_is_measured_or_taken_apart(self) -> None:
        asked = asked_before(
            "bench", lambda phase, id_: is_measurement(id_) or phase == "repair" or is_apart(phase, id_)
        )

        assert asked & ASKS_ABOUT_SWITCH
        assert asked & ASKS_ABOUT_KILL_LEAD

    def test_with_a_pouch_they_are_asked_about_before_any_repair(self) -> None:
        asked = asked_before("pouch", lambda phase, _: phase == "repair")

        assert asked & ASKS_ABOUT_SWITCH
        assert asked & ASKS_ABOUT_KILL_LEAD

    def test_still_no_spark_with_the_kill_lead_off_points_at_the_magneto_coil(self, loaded: Loaded) -> None:
        after = walk(loaded, NO_SPARK, CLIP_ON, "spark-with-kill-lead-off=still-none")

        assert first(after) == "source-coil-open"

    def test_a_spark_that_returns_with_the_kill_lead_off_points_at_the_stop_circuit(
        self, loaded: Loaded
    ) -> None:
        after = walk(
            loaded,
            NO_SPARK,
            CLIP_ON,
            "look-round-first=all-right",
            "spark-at-spare-plug=none",
            "spark-with-kill-lead-off=returns",
        )

        stop_circuit = (
            "kill-switch-off",
            "kill-switch-shorted",
            "kill-wire-chafed",
            "kill-lead-wrongly-joined",
        )
        assert first(after) in stop_circuit
        assert share(after, *stop_circuit) > 0.6

    def test_a_wet_plug_is_aired_and_dried_before_any_spark_check(self, loaded: Loaded) -> None:
        after = walk(loaded, "will-not-start", CLIP_ON, "plug-look=wet-fuel").session
        sparking = [check for check in after.model.checks.values() if "high-voltage" in check.needs.hazards]

        assert "fuel-vapour" in after.job.in_place
        assert sparking
        for check in sparking:
            taken = step_cost(LIBRARY, after.job, check.needs)
            if taken is not None:
                assert any(
                    preparation.setup == "fuel-vapour" and preparation.undo
                    for preparation in taken.preparations
                ), check.id

    def test_every_check_with_high_voltage_is_barred_by_fuel_vapour(self) -> None:
        open_to_vapour = [
            check.id
            for check in LIBRARY.checks.values()
            if "high-voltage" in check.needs.hazards and "fuel-vapour" not in check.needs.not_during
        ]

        assert open_to_vapour == []


class TestWhatAnswersPointAt:
    @pytest.mark.parametrize("machine", [one for one in LIBRARY.machines if not one.startswith("unknown")])
    def test_smoke_is_asked_after_before_wires_are_pulled_at(self, machine: MachineId) -> None:
        begun = begin(LIBRARY, LIBRARY.machines[machine], [EventId("smokes")])

        if begun.task().id == "choke-off-now":
            begun = begun.record(Answered("choke-off-now", FindingId("yes")))
        assert begun.task().id == "smoke-colour"

    def test_a_stop_like_a_switch_points_at_ignition_and_a_fading_one_at_fuel(self, loaded: Loaded) -> None:
        ignition = [cause for cause in LIBRARY.causes if in_room(cause, "ignition")]
        fuel = [cause for cause in LIBRARY.causes if in_room(cause, "fuel")]
        sudden = walk(loaded, "will-not-start", CLIP_ON, "how-it-stopped=sudden")
        faded = walk(loaded, "will-not-start", CLIP_ON, "how-it-stopped=faded")

        assert share(sudden, *ignition) > share(sudden, *fuel)
        assert share(faded, *fuel) > share(faded, *ignition)

    def test_air_rushing_into_the_tank_points_at_its_vent(self, loaded: Loaded) -> None:
        after = walk(loaded, "starts-then-dies", CLIP_ON, "hiss-at-cap=yes")

        assert first(after) == "tank-vent-blocked"

    def test_running_better_with_some_choke_points_at_a_lean_mixture(self, loaded: Loaded) -> None:
        lean = (
            "main-jet-blocked",
            "idle-passages-blocked",
            "intake-gasket-leaks",
            "carburettor-loose",
            "intake-stub-cracked",
            "flange-warped",
            "jets-lean-for-engine",
            "float-level-low",
            "slide-needle-low",
            "air-filter-missing",
            "carburettor-gummed",
            "mixture-screw-off",
        )
        before = walk(loaded, "bogs", CLIP_ON)
        after = walk(loaded, "bogs", CLIP_ON, "choke-response=better")

        assert share(after, *lean) > max(0.45, 2 * share(before, *lean))

    def test_standing_for_months_points_at_gum_and_old_fuel(self, loaded: Loaded) -> None:
        gummed = ("idle-passages-blocked", "carburettor-gummed", "float-needle-stuck-shut", "fuel-stale")
        usual = walk(loaded, "will-not-start", CLIP_ON)
        stored = walk(loaded, "will-not-start-after-storage", CLIP_ON)

        assert share(stored, *gummed) > 2 * share(usual, *gummed)

    def test_oil_that_lifts_a_low_reading_points_at_rings_and_no_lift_at_valves(self, loaded: Loaded) -> None:
        low = ("cranking-compression=low",)
        rings = ("rings-worn", "rings-stuck", "ring-broken", "piston-scored")
        valves_and_joints = (
            "exhaust-valve-burnt",
            "intake-valve-leaks",
            "exhaust-valve-tight",
            "intake-valve-tight",
            "head-gasket-leaks",
            "head-nuts-loose",
            "plug-loose",
        )
        lifted = walk(loaded, "no-power", "electric-step-through", *low, "wet-compression=clear")
        flat = walk(loaded, "no-power", "electric-step-through", *low, "wet-compression=flat")

        assert share(lifted, *rings) > share(lifted, *valves_and_joints)
        assert share(flat, *valves_and_joints) > share(flat, *rings)

    def test_a_kick_back_points_at_the_flywheel_key_and_nut(self, loaded: Loaded) -> None:
        after = walk(loaded, "kicks-back", CLIP_ON)

        assert first(after) == "flywheel-key-sheared"
        assert share(after, "flywheel-key-sheared", "flywheel-nut-loose") > 0.5

    def test_a_move_to_the_hills_makes_rich_jets_likelier(self, loaded: Loaded) -> None:
        before = walk(loaded, "smokes", CLIP_ON)
        after = walk(loaded, "smokes", CLIP_ON, given=("height-changed",))

        assert share(after, "jets-rich-for-height") > 2 * share(before, "jets-rich-for-height")

    def test_a_coil_that_fails_hot_is_no_cause_of_a_cold_engine_without_spark(self) -> None:
        cold = model_of(CLIP_ON, EventId("will-not-start-cold")).hypotheses
        alone = {cold.causes_of(row) for row in range(cold.count)}

        assert ("coil-breaks-down-hot",) not in alone
        assert "coil-breaks-down-hot" in causes_under(EventId("dies-when-hot"))

    @pytest.mark.parametrize(
        ("cause", "complaint", "machine"),
        [
            ("kill-switch-off", "no-spark-seen", "clip-on-two-stroke"),
            ("tank-empty", "will-not-start", "clip-on-two-stroke"),
            ("stand-left-down", "no-spark-seen", "points-moped"),
            ("clutch-left-latched", "will-not-start", "clip-on-two-stroke"),
        ],
    )
    def test_what_the_rider_forgot_is_found_with_nothing_taken_apart(
        self, cause: str, complaint: str, machine: str
    ) -> None:
        kit = LIBRARY.kits["pouch"].items  # type: ignore[index]
        begun = begin(LIBRARY, LIBRARY.machines[MachineId(machine)], [EventId(complaint)], kit=kit)
        taken = list(steps(begun, cause))

        assert taken[-1][0] == "proof"
        assert not [id_ for phase, id_ in taken if phase == "prepare" and id_ not in FREE_OF_PARTS]


class TestSafety:
    def test_a_ride_comes_only_after_brakes_and_fasteners_were_looked_over(self) -> None:
        for check in LIBRARY.checks.values():
            if "road" in check.needs.hazards:
                assert "brakes-looked-over" in check.needs.setups, check.id
        for complaint in LIBRARY.complaints.values():
            if "road" in complaint.proof.hazards:
                assert "brakes-looked-over" in complaint.proof.needs, complaint.id

    def test_an_engine_that_shakes_is_run_only_after_its_mounts_were_looked_over(self) -> None:
        shaking = {"shakes-with-engine", "engine-loose-in-frame", "buzzes-in-a-band"}
        for check in LIBRARY.checks.values():
            watched = {name for line in check.lines for name in names_in(line.when)}
            runs = "engine-runs" in names_in(check.needs.only_when) and check.kind is not CheckKind.QUESTION
            if runs and shaking <= watched:
                assert "mounts-looked-over" in check.needs.setups, check.id

    @pytest.mark.parametrize("complaint", ["vibrates", "comes-loose", "drive-noise"])
    def test_what_may_be_loose_is_looked_over_before_the_ride_that_proves_it(self, complaint: str) -> None:
        needs = LIBRARY.complaints[EventId(complaint)].proof.needs
        assert {"brakes-looked-over", "mounts-looked-over"} <= set(needs)

    def test_the_engine_is_run_only_with_its_plug_and_leads_in_place(self) -> None:
        for check in LIBRARY.checks.values():
            runs = {"exhaust-gas", "road"} & set(check.needs.hazards) and check.kind is not CheckKind.QUESTION
            if runs:
                assert {"plug-out", "stop-lead-off", "fuel-line-off"} <= set(check.needs.undone), check.id

    def test_a_spark_is_looked_for_with_the_stop_lead_as_the_check_says(self) -> None:
        for check in LIBRARY.checks.values():
            if "high-voltage" in check.needs.hazards:
                assert "stop-lead-off" in {*check.needs.undone, *check.needs.setups}, check.id

    def test_a_cracked_frame_stops_the_ride(self) -> None:
        for cause in ("frame-cracked", "fork-or-bar-cracked", "mount-bracket-cracked"):
            assert not LIBRARY.causes[EventId(cause)].ride

    def test_valve_clearance_waits_for_a_cold_engine(self) -> None:
        hot = Job(frozenset({EventId("engine-hot"), EventId("engine-runs")}))
        taken = step_cost(LIBRARY, hot, LIBRARY.checks[CheckId("exhaust-valve-clearance")].needs)

        assert taken is not None
        assert any(preparation.wait_for == "engine-cold" for preparation in taken.preparations)


def asked_before(kit: str, stops: Callable[[str, str], bool]) -> set[str]:
    """What a walk with no spark asks for before the first thing that stops it; the magneto's coil is open."""
    items = LIBRARY.kits[KitId(kit)].items
    begun = begin(LIBRARY, LIBRARY.machines[CLIP_ON], [NO_SPARK], kit=items, give_up=BENCH)
    return {id_ for _, id_ in takewhile(lambda one: not stops(*one), steps(begun, "source-coil-open"))}


def is_apart(phase: str, name: str) -> bool:
    return phase == "prepare" and name not in FREE_OF_PARTS


def is_measurement(name: str) -> bool:
    check = LIBRARY.checks.get(CheckId(name))
    return check is not None and check.kind is CheckKind.MEASURE


def in_room(cause: str, room: str) -> bool:
    return f"{room}/" in str(LIBRARY.causes[EventId(cause)].place.file)
