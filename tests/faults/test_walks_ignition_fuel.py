"""Two of the trade's own checks as walks: common practice, no source, but for the formula of the jet."""

from __future__ import annotations

import pytest

from faults.perfect_tester import model_of
from kickover.api import Loaded, Walk
from kickover.core.ids import CheckId, EventId, MachineId, RepairId
from kickover.formulas import compute
from kickover.model.library import Reading
from kickover.model.limits import resolved_bands
from worlds.shipped_library import shipped

LIBRARY = shipped()
CLIP_ON = MachineId("clip-on-two-stroke")
OF_THE_MAGNETO = {"source-coil-resistance", "spark-with-proven-source-coil", "swap-source-coil"}
OF_THE_JET = {"rejet", "lower-needle-a-groove", "drill-main-jet", "part-choke-for-lean", "main-jet-bore"}


def walk(loaded: Loaded, complaint: str, *seen: str, given: tuple[str, ...] = ()) -> Walk:
    begun = loaded.walk(complaint, CLIP_ON, given)
    for answer in seen:
        check, _, finding = answer.partition("=")
        begun.record(check, finding)
    return begun


def jet_bore() -> Reading:
    reading = LIBRARY.checks[CheckId("main-jet-bore")].reading
    assert reading is not None
    return reading


class TestNoSparkWithTheKillLeadOff:
    def test_the_coil_of_the_magneto_is_measured_or_swapped_first(self, loaded: Loaded) -> None:
        after = walk(
            loaded,
            "no-spark-seen",
            "look-round-first=all-right",
            "spark-at-spare-plug=none",
            "spark-with-kill-lead-off=still-none",
        )

        assert after.ranking()[0].cause == "source-coil-open"
        assert after.next_step().id in OF_THE_MAGNETO

    @pytest.mark.parametrize("reading", ["open", "20 Mohm"])
    def test_a_coil_that_measures_open_is_the_answer(self, loaded: Loaded, reading: str) -> None:
        after = walk(
            loaded,
            "no-spark-seen",
            "spark-at-spare-plug=none",
            "spark-with-kill-lead-off=still-none",
            f"source-coil-resistance={reading}",
        )

        assert after.ranking()[0].cause == "source-coil-open"
        assert after.ranking()[0].probability > 0.6

    def test_the_coil_can_be_changed_by_the_road_with_two_tools(self) -> None:
        swap = LIBRARY.repairs[RepairId("swap-source-coil")]
        carried = (*swap.needs.tools, *swap.needs.spares)

        assert swap.roadside
        assert {"source-coil-open", "source-coil-leaks"} <= set(swap.cures)
        assert sum(LIBRARY.items[item].grams for item in carried) < 500


class TestAfterAClimb:
    CLIMBED = ("height-since-jetted=1000 m",)

    def test_the_jet_that_is_called_right_is_the_computed_one(self) -> None:
        machine = LIBRARY.machines[CLIP_ON]
        below, above = resolved_bands(jet_bore(), LIBRARY, machine)
        figures = {name: machine.figures[name] for name in ("main-jet", "altitude", "air-temperature")}  # type: ignore[index]
        computed = compute(
            "jet-for-density",
            {
                "jet": figures["main-jet"],
                "altitude": figures["altitude"],
                "temperature": figures["air-temperature"],
            },
        ).value.within("mm")

        assert below < computed < above
        assert computed == pytest.approx((below + above) / 2, rel=1e-6)
        assert computed < figures["main-jet"].within("mm")

    @pytest.mark.parametrize("complaint", ["smokes", "no-power", "bogs", "runs-rough"])
    def test_running_rich_after_it_points_at_the_jet(self, loaded: Loaded, complaint: str) -> None:
        after = walk(loaded, complaint, *self.CLIMBED, given=("height-changed",))

        assert after.ranking()[0].cause == "jets-rich-for-height"

    def test_a_jet_of_the_valley_found_in_it_is_answered_with_the_smaller_one(self, loaded: Loaded) -> None:
        after = walk(
            loaded,
            "smokes",
            *self.CLIMBED,
            "smoke-colour=black",
            "main-jet-bore=0.70 mm",
            given=("height-changed",),
        )

        assert after.ranking()[0].cause == "jets-rich-for-height"
        assert after.next_step().id in OF_THE_JET

    @pytest.mark.parametrize("complaint", ["overheats", "bogs"])
    def test_running_lean_after_it_is_answered_with_the_computed_jet(
        self, loaded: Loaded, complaint: str
    ) -> None:
        """Height alone makes no engine lean: a jet below the computed one does."""
        after = walk(
            loaded,
            complaint,
            *self.CLIMBED,
            "carburettor-rock=firm",
            "intake-look=sound",
            "jets-look=clear",
            "plug-after-full-load=lean",
            "main-jet-bore=0.59 mm",
            given=("height-changed",),
        )

        assert after.ranking()[0].cause == "jets-lean-for-engine"
        assert after.next_step().id in OF_THE_JET

    def test_every_walk_that_can_meet_a_jet_can_measure_it(self) -> None:
        for complaint in ("smokes", "no-power", "bogs", "runs-rough", "overheats"):
            assert CheckId("main-jet-bore") in model_of(CLIP_ON, EventId(complaint)).checks
