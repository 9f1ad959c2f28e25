"""Trials spread over processes, each of which is given the library once."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor

from kickover.model.library import Library
from kickover.simulation.simulated_walk import Walked
from kickover.simulation.trials import Trial, run

_library: Library | None = None
"""The library of a worker process."""


def run_all(library: Library, trials: Sequence[Trial], jobs: int | None = None) -> Iterator[list[Walked]]:
    """The walks of each trial, in order, by so many processes: one for each core by default.

    What is interrupted starts nothing more. Raises TrialError as `run` does.
    """
    count = min(jobs or os.cpu_count() or 1, len(trials))
    with ProcessPoolExecutor(count, initializer=_prepare, initargs=(library,)) as workers:
        try:
            yield from workers.map(_work, trials)
        except BaseException:
            workers.shutdown(wait=False, cancel_futures=True)
            raise


def _prepare(library: Library) -> None:
    global _library
    _library = library


def _work(trial: Trial) -> list[Walked]:
    assert _library is not None
    return run(_library, trial)
