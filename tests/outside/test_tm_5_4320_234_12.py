"""US Army TM 5-4320-234-12, table 4-2: an engine that does not turn when its starter button is pressed.

Seen in a reproduction.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, not_found, row

ROWS = (
    row("will-not-start", "main switch off", "key-switch-off"),
    row("will-not-start", "battery cables loose or broken", "battery-terminal-loose"),
    row("will-not-start", "battery weak or dead", "battery-flat"),
    row("will-not-start", "starter button faulty", "starter-relay-dead"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []
