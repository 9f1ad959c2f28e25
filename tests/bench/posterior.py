"""An answer taken up, against a general-purpose Bayesian-network package on the same model."""

from __future__ import annotations

import numpy as np

from bench.table import Row, at_least, at_most, seconds
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.belief import Evidence, believe, prior_belief
from kickover.inference.compiled_model import EngineState, compile_model
from outside.bayesian_network import Network, ask

COMPLAINT, MACHINE = "kicks-back", "points-moped"
ANSWERS = 3


def rows() -> list[Row]:
    """The ratio of the two times, and the largest difference between the two posteriors."""
    library = load_or_raise(shipped_folder())
    model = compile_model(library, library.machines[MachineId(MACHINE)], [EventId(COMPLAINT)])
    hypotheses = model.hypotheses
    network = Network(
        library, model.machine, COMPLAINT, hypotheses.houses, hypotheses.members.shape[1], hypotheses.scale
    )
    rng = np.random.default_rng(5)
    answers: dict[str, tuple[float, ...]] = {}
    for check in rng.choice(sorted(model.checks), ANSWERS, replace=False).tolist():
        findings = len(model.checks[CheckId(check)].findings)
        answers[check] = tuple(np.eye(findings)[int(rng.integers(findings))].tolist())
    state = EngineState(hypotheses.houses)
    evidence = [Evidence(CheckId(check), weights, state) for check, weights in answers.items()]
    told = {(check, 0): weights for check, weights in answers.items()}
    theirs = ask(network, told)
    ours = believe(model, evidence)
    marginals = ours.marginals()
    gap = max(abs(marginals.get(EventId(cause), 0.0) - chance) for cause, chance in theirs.causes.items())
    gap = max(gap, abs(ours.unlisted - theirs.unlisted))
    start = prior_belief(model)
    own = seconds(lambda: start.after(evidence[0]).marginals(), 50)
    other = seconds(lambda: ask(network, dict([next(iter(told.items()))])), 3)
    return [
        at_most(f"{COMPLAINT}: posterior of every cause against the package, largest gap", gap, 1e-9),
        at_least("  an answer, times as fast as the package", other / own, 100.0, " x"),
    ]
