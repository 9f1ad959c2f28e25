"""US Army TM 5-4240-501-14&P, the small engine check-up page: carburation, and what driven equipment does.

Seen in a reproduction of the page. The page names a maker's carburettors; the rows are told for float and
diaphragm carburettors.
"""

from __future__ import annotations

import pytest

from faults.perfect_tester import finding_of, hidden, model_of
from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.compiled_model import EngineState
from outside.troubleshooting_rows import Row, not_found, row

PLUG_WET = (
    row("will-not-start", "wet plug: too much choke", "engine-flooded", "choke-left-on"),
    row("will-not-start", "wet plug: mixture too rich", "float-level-high", "choke-stuck-closed"),
    row("will-not-start", "wet plug: water in the fuel", "water-in-fuel"),
    row("will-not-start", "wet plug: inlet needle stuck open", "float-needle-leaks", "inlet-needle-leaks"),
)

PLUG_DRY = (
    row("will-not-start", "dry plug: leaking carburettor gasket", "intake-gasket-leaks"),
    row(
        "will-not-start", "dry plug: gummed screen or valve", "inlet-screen-blocked", "tank-strainer-clogged"
    ),
    row("will-not-start", "dry plug: inlet needle stuck shut", "float-needle-stuck-shut"),
    row("will-not-start", "dry plug: fuel pump does not work", "fuel-pump-worn", "pump-diaphragm-worn"),
)

DRIVEN_EQUIPMENT = (
    row("kicks-back", "what sits on the shaft is loose", "flywheel-nut-loose"),
    row("hard-to-turn", "it is started under load", "clutch-too-much-play", "clutch-plates-stuck"),
    row("will-not-start", "the choke control does not travel fully", "choke-stuck-open"),
    row("vibrates", "loose mounting bolts", "front-mount-slack", "rear-mount-slack"),
)


@pytest.mark.parametrize("line", PLUG_WET + PLUG_DRY + DRIVEN_EQUIPMENT, ids=str)
def test_the_library_knows_the_row(line: Row) -> None:
    assert not_found(line) == []


def likeliest_finding(check: str, cause: str) -> str:
    model = model_of(MachineId("clip-on-two-stroke"), EventId("will-not-start"))
    state = EngineState(model.hypotheses.houses)
    return finding_of(model, CheckId(check), hidden(model, EventId(cause)), state)


@pytest.mark.parametrize(
    ("cause", "finding"),
    [
        ("engine-flooded", "wet-fuel"),
        ("float-needle-stuck-shut", "dry"),
        ("tank-strainer-clogged", "dry"),
        ("tap-shut", "dry"),
    ],
)
def test_the_plug_is_wet_or_dry_as_the_page_says(cause: str, finding: str) -> None:
    assert likeliest_finding("plug-look", cause) == finding


def test_an_engine_that_fires_on_a_prime_and_stops_is_like_one_with_a_dry_plug() -> None:
    for cause in ("float-needle-stuck-shut", "tap-shut", "tank-empty"):
        assert likeliest_finding("prime-by-syringe", cause) == "fires-then-stops"
