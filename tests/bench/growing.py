"""The next step as hypotheses and checks grow, in seconds of the processor: nothing in it waits."""

from __future__ import annotations

import tempfile
import tracemalloc
from functools import partial
from pathlib import Path
from time import process_time

import numpy as np

from bench.made_up import made_up
from bench.table import Row, at_most, exponent, seconds
from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.belief import Belief, prior_belief
from kickover.inference.compiled_model import Model, compile_model
from kickover.model.library import Library
from kickover.planning.job_state import Job
from kickover.planning.plan import Step, plan

SIZES = (10, 50, 250, 1000, 5000)
CHECKS = 500


def rows() -> list[Row]:
    """Times of the next step, and how they grow."""
    found: list[Row] = []
    times: list[float] = []
    with tempfile.TemporaryDirectory() as place:
        for size in SIZES:
            library = made_up(Path(place) / f"n{size}", size, CHECKS)
            model = model_of(library)
            belief, job = prior_belief(model), Job(model.hypotheses.houses)
            plan(belief, job)
            spread = [seconds(partial(_next, belief, job), 1, process_time) for _ in range(15)]
            times.append(float(np.median(spread)))
            what = f"next step, {model.hypotheses.count} hypotheses x {CHECKS} checks: median"
            if size == SIZES[-1]:
                found.append(at_most(what, times[-1] * 1000.0, 50.0, " ms"))
                found.append(
                    at_most("  95th percentile", float(np.quantile(spread, 0.95)) * 1000.0, 50.0, " ms")
                )
            else:
                found.append(Row(what, f"{times[-1] * 1000.0:.1f} ms"))
        found.append(at_most("  grows with hypotheses to the power of", exponent(SIZES, times), 1.0))
        found.append(_by_checks(Path(place)))
        found += _pairs(Path(place))
    return found


def model_of(library: Library) -> Model:
    """The model of the only complaint on the only machine."""
    return compile_model(library, library.machines[MachineId("machine")], [EventId("dead")])


def _by_checks(place: Path) -> Row:
    counts = (60, 125, 250, 500)
    model = model_of(made_up(place / "checks", 1000, counts[-1]))
    belief = prior_belief(model)
    times = []
    for count in counts:
        made = frozenset(CheckId(check) for check in list(model.checks)[count:])
        times.append(_least(belief, Job(model.hypotheses.houses, made=made)))
    return at_most("  grows with checks to the power of", exponent(counts, times), 1.0)


def _pairs(place: Path) -> list[Row]:
    """Order 2: the hypotheses of 130 causes, the step after them, and what they take of the memory."""
    library = made_up(place / "pairs", 130, 250, order=2)
    tracemalloc.start()
    model = model_of(library)
    belief, job = prior_belief(model), Job(model.hypotheses.houses)
    plan(belief, job)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    compiled = seconds(lambda: model_of(library), 3, process_time)
    three = seconds(
        lambda: compile_model(library, model.machine, [EventId("dead")], order=3), 1, process_time
    )
    return [
        Row(
            f"pairs of 130 causes: {model.hypotheses.count} hypotheses listed in", f"{compiled * 1000:.0f} ms"
        ),
        Row("  triples on request in", f"{three:.2f} s"),
        Row("  next step", f"{_least(belief, job) * 1000:.1f} ms"),
        Row("  memory at most", f"{peak / 1e6:.0f} MB"),
    ]


def _least(belief: Belief, job: Job) -> float:
    _next(belief, job)
    return seconds(partial(_next, belief, job), 7, process_time)


def _next(belief: Belief, job: Job) -> Step:
    return plan(belief, job).next
