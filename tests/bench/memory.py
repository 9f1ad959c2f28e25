"""The most memory that each kind of work takes, every one in a process of its own."""

from __future__ import annotations

import multiprocessing
import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import yaml

from bench.growing import model_of
from bench.made_up import made_up
from bench.table import Row, peak_megabytes
from bench.tidy import read_tidy, write_tidy
from kickover.authoring import load_or_raise, shipped_folder
from kickover.core.ids import EventId, MachineId
from kickover.inference.belief import prior_belief
from kickover.inference.compiled_model import compile_model
from kickover.planning.job_state import Job
from kickover.planning.plan import plan

EVENTS, HYPOTHESES, CHECKS = 20_000, 5_000, 500


def rows() -> list[Row]:
    """Megabytes, and ratios to what cannot be avoided."""
    idle = _megabytes(_nothing)
    yaml_alone = _megabytes(_parse) - idle
    whole = _megabytes(_load) - idle
    return [
        Row("memory with everything imported", f"{idle:.0f} MB"),
        Row(
            "  and a step of will-not-start on the shipped library",
            f"{_megabytes(_shipped) - idle:.0f} MB more",
        ),
        Row(
            f"  and a step of {HYPOTHESES} hypotheses x {CHECKS} checks",
            f"{_megabytes(_step) - idle:.0f} MB more",
        ),
        Row(f"  and a library of {EVENTS} events, loaded and checked", f"{whole:.0f} MB more"),
        Row("  over that of bare YAML", f"{whole / yaml_alone:.1f} x"),
    ]


def _megabytes(work: Callable[[], None]) -> float:
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as worker:
        return worker.submit(_measured, work).result()


def _measured(work: Callable[[], None]) -> float:
    work()
    return peak_megabytes()


def _nothing() -> None:
    """The imports of this module are what is measured."""


def _shipped() -> None:
    library = load_or_raise(shipped_folder())
    machine = library.machines[MachineId("clip-on-two-stroke")]
    model = compile_model(library, machine, [EventId("will-not-start")])
    plan(prior_belief(model), Job(model.hypotheses.houses))


def _step() -> None:
    with tempfile.TemporaryDirectory() as place:
        model = model_of(made_up(Path(place), HYPOTHESES, CHECKS))
    plan(prior_belief(model), Job(model.hypotheses.houses))


def _load() -> None:
    with tempfile.TemporaryDirectory() as place:
        read_tidy(write_tidy(Path(place), EVENTS), EVENTS)


def _parse() -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = write_tidy(Path(place), EVENTS)
        held = [yaml.load(path.read_bytes(), yaml.CSafeLoader) for path in sorted(folder.iterdir())]
    assert held
