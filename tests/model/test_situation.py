"""House events: what excludes what."""

from __future__ import annotations

from kickover.core.ids import EventId
from kickover.model.library import Library
from kickover.model.situation import with_event, with_implied

HOT, COLD = EventId("engine-hot"), EventId("engine-cold")


def test_an_event_ends_what_it_excludes(tiny: Library) -> None:
    assert with_event(tiny, frozenset({COLD}), HOT) == {HOT}


def test_what_is_told_overrules_what_a_complaint_implies(tiny: Library) -> None:
    complaint = EventId("will-not-start")
    assert with_implied(tiny, [complaint], frozenset()) == {COLD}
    assert with_implied(tiny, [complaint], {HOT}) == {HOT}
