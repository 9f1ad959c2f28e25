"""Charts for reading spark plugs: US Army TM 10-3930-653-14P, and three makers' manuals (no names). Seen.

All say the same: tan or grey normal; dry soot rich or weak ignition; wet black oil; white or blistered hot.
"""

from __future__ import annotations

import pytest

from outside.troubleshooting_rows import Row, seen, too_far_down

ROWS = (
    seen(
        "runs-rough",
        "plug-look=black-soot",
        "soot: mixture too rich, air cleaner dirty",
        "air-filter-blocked",
    ),
    seen("smokes", "plug-look=black-soot", "soot: choke used too much", "choke-left-on"),
    seen("smokes", "plug-look=black-soot", "soot: plug too cold", "plug-fouled-carbon"),
    seen("smokes", "plug-look=wet-oil", "wet black: too much oil in a two-stroke", "premix-too-oily"),
    seen("smokes", "plug-look=wet-oil", "wet black: rings and pistons let oil by", "rings-worn"),
    seen("will-not-start", "plug-look=wet-fuel", "wet: too much choke", "engine-flooded"),
    seen("will-not-start", "plug-look=wet-fuel", "wet: carburettor lets too much in", "float-needle-leaks"),
    seen("overheats", "plug-look=white", "white: lean mixture", "main-jet-blocked"),
    seen("overheats", "plug-look=white", "white: air leak in the intake", "intake-gasket-leaks"),
    seen("overheats", "plug-look=white+plug-close-look=wrong-grade", "white: plug too hot", "plug-too-hot"),
    seen(
        "overheats",
        "plug-after-full-load=lean",
        "white: too little fuel",
        "main-jet-blocked",
        "intake-gasket-leaks",
    ),
    seen(
        "no-spark-seen",
        "plug-close-look=bridged",
        "gap bridged by deposits",
        "plug-gap-closed",
        "plug-fouled-carbon",
    ),
    seen("no-power", "plug-gap-size=wide", "worn: gap greater than specified", "plug-gap-wide"),
)


@pytest.mark.parametrize("line", ROWS, ids=str)
def test_the_cause_is_among_the_first_eight_with_the_finding_of_the_row(line: Row) -> None:
    assert too_far_down(line) == {}
