"""An overhead-valve engine's manual: what makes it knock, weak or thirsty for oil (seen; names left out)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen("no-power", "oil-level-look=low", "loses power: oil low", "oil-level-low"),
    seen("no-power", "oil-level-look=over", "loses power: oil too high", "oil-overfull"),
    seen("no-power", "air-filter-look=clogged", "loses power: air cleaner dirty", "air-filter-blocked"),
    seen("no-power", "gearing-counted=tall", "loses power: load too great", "gearing-wrong"),
    seen("no-power", "wet-compression=clear", "loses power: compression low", "rings-worn"),
    seen("no-power", "exhaust-loosened-run=yes", "loses power: exhaust restricted", "silencer-blocked"),
    seen("smokes", "crankcase-breather-look=yes", "uses oil: breather clogged", "breather-blocked"),
    seen("smokes", "blue-smoke-when=under-load", "uses oil: rings worn or broken", "rings-worn"),
    seen("smokes", "oil-level-look=over", "uses oil: crankcase overfilled", "oil-overfull"),
    seen("overheats", "oil-level-look=low", "overheats: oil low", "oil-level-low"),
    seen("overheats", "fins-look=clogged", "overheats: fins and screen covered with dirt", "fins-blocked"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
