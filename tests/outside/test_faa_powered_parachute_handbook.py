"""FAA Powered Parachute Flying Handbook, chapter 4: jets of two-stroke carburettors and height (seen)."""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen(
        "runs-rough",
        "height-since-jetted=1500 m",
        "roughness at height: the mixture gets richer",
        "jets-rich-for-height",
    ),
    seen(
        "no-power",
        "height-since-jetted=1500 m",
        "loss of power at height: the mixture gets richer",
        "jets-rich-for-height",
    ),
    seen(
        "runs-rough",
        "height-since-jetted=1500 m+plug-look=black-soot",
        "carbon on the plug from the rich mixture",
        "plug-fouled-carbon",
        "jets-rich-for-height",
    ),
    seen(
        "overheats",
        "height-since-jetted=-1500 m",
        "jets for height run lean and hot below",
        "jets-lean-for-engine",
    ),
    seen(
        "no-power",
        "plug-after-full-load=lean+height-since-jetted=-1500 m",
        "jets for height run lean below",
        "jets-lean-for-engine",
    ),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
