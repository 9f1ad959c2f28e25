"""What loosens a joint that is shaken sideways.

Sanclemente and Hess, Engineering Failure Analysis 14 (2007) 239 (its summary was read): of clamping force,
material, diameter, pitch, fit and oil, clamping force and the give of the bolt matter most.
"""

from __future__ import annotations

import pytest

from kickover.core.ids import EventId
from worlds.shipped_library import loaded, shipped

LIBRARY = shipped()


def test_a_lost_clamping_force_is_suspected_before_any_lock_that_failed() -> None:
    order = [str(one.cause) for one in loaded().walk("comes-loose", "clip-on-two-stroke").ranking()]
    locks = ("locknut-reused", "washer-wrong", "lock-wire-slack", "compound-grade-wrong", "compound-spoiled")

    assert all(order.index("bolts-never-torqued") < order.index(lock) for lock in locks)


@pytest.mark.parametrize("cause", LIBRARY.gates[EventId("fasteners-back-off")].inputs)
def test_every_lasting_cure_of_a_loose_joint_is_finished_to_a_torque(cause: object) -> None:
    named = str(getattr(cause, "event", cause))
    lasting = [one for one in LIBRARY.repairs.values() if not one.roadside and named in one.cures]

    assert lasting
    assert [one.id for one in lasting if not (one.torque or one.figures)] == []
