"""Posteriors of the shipped model, against a general-purpose Bayesian-network package.

Reference: pyagrum (PyPI), exact inference by lazy propagation, on a network that `bayesian_network.py` builds
from the authored values alone. Compared: the prior and the posterior of every cause and of the unlisted one,
for hard, unsure and spread answers, single and double causes, several complaints and machines.
"""

from __future__ import annotations

import random

import pytest

from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.belief import Belief, Evidence, believe
from kickover.inference.compiled_model import EngineState, Model, compile_model
from kickover.model.library import Library
from outside.bayesian_network import Network, ask

CASES = [
    ("no-spark-seen", "clip-on-two-stroke", ()),
    ("no-spark-seen", "electric-step-through", ("rain-or-wash",)),
    ("kicks-back", "points-moped", ()),
    ("leaks-fuel", "roller-two-stroke", ()),
    ("overheats", "four-stroke-49", ("service-overdue",)),
    ("vibrates", "clip-on-two-stroke", ("just-rebuilt", "fell-over")),
    ("hard-to-turn", "points-moped", ("engine-hot",)),
    ("will-not-start", "clip-on-two-stroke", ("engine-cold", "stood-months")),
]


@pytest.fixture(scope="module")
def library() -> Library:
    return load_or_raise(shipped_folder())


def model_of(library: Library, complaint: str, machine: str, given: tuple[str, ...]) -> Model:
    houses = frozenset(EventId(one) for one in given)
    return compile_model(library, library.machines[MachineId(machine)], [EventId(complaint)], houses)


def network_of(model: Model) -> Network:
    hypotheses = model.hypotheses
    order = hypotheses.members.shape[1]
    complaint = hypotheses.complaints[0]
    return Network(model.library, model.machine, complaint, hypotheses.houses, order, hypotheses.scale)


def random_answers(model: Model, rng: random.Random, count: int) -> dict[str, tuple[float, ...]]:
    answers: dict[str, tuple[float, ...]] = {}
    for check in rng.sample(sorted(model.checks), min(count, len(model.checks))):
        findings = len(model.checks[check].findings)
        if rng.random() < 0.5:
            seen = rng.randrange(findings)
            answers[check] = tuple(float(place == seen) for place in range(findings))
        else:
            raw = [rng.random() + 0.01 for _ in range(findings)]
            answers[check] = tuple(one / sum(raw) for one in raw)
    return answers


def belief_after(model: Model, answers: dict[str, tuple[float, ...]]) -> Belief:
    state = EngineState(model.hypotheses.houses)
    return believe(model, [Evidence(CheckId(check), weights, state) for check, weights in answers.items()])


@pytest.mark.parametrize(("complaint", "machine", "given"), CASES)
def test_every_posterior_equals_the_packages(
    library: Library, complaint: str, machine: str, given: tuple[str, ...]
) -> None:
    model = model_of(library, complaint, machine, given)
    rng = random.Random(f"{complaint} {machine}")
    for count in (0, 1, 3):
        answers = random_answers(model, rng, count)
        belief = belief_after(model, answers)
        oracle = ask(network_of(model), answers)
        assert belief.unlisted == pytest.approx(oracle.unlisted, abs=1e-9)
        assert dict(belief.marginals()) == pytest.approx(oracle.causes, abs=1e-9)


@pytest.mark.parametrize(("complaint", "machine", "given"), CASES[:6])
def test_two_causes_have_their_stated_share_of_the_listed_complaints(
    library: Library, complaint: str, machine: str, given: tuple[str, ...]
) -> None:
    """Among complaints with a listed cause, the package gives sets of two the library's share of 6 %."""
    network = network_of(model_of(library, complaint, machine, given))
    oracle = ask(network, {})
    expected_causes_each = sum(oracle.causes.values()) / (1.0 - oracle.unlisted)
    assert expected_causes_each - 1.0 == pytest.approx(library.settings.two_cause_share, abs=1e-9)
