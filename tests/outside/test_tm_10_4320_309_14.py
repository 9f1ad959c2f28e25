"""US Army TM 10-4320-309-14, table 4-1: the rope starter. Seen in a reproduction."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

ROWS = (
    row(
        "will-not-start",
        "rope does not run out: frayed or jammed",
        "starter-jammed",
        "recoil-rope-or-spring-broken",
    ),
    row("hard-to-turn", "rope does not run out: the starter jams", "starter-jammed"),
    row("will-not-start", "rope does not run back: spring broken or bent", "recoil-rope-or-spring-broken"),
    row("will-not-start", "crankshaft does not turn: ratchet worn or fitted wrongly", "recoil-pawls-slip"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
