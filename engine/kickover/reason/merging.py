"""Hypotheses of a decision problem that come to the same, as one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from kickover.reason.decision import DecisionProblem


def compacted(problem: DecisionProblem) -> DecisionProblem:
    """The problem without the causes that none of its hypotheses has."""
    count = problem.cures.shape[1]
    there = np.zeros(count + 1, dtype=bool)
    there[problem.members] = True
    kept = np.flatnonzero(there[:count])
    position = np.full(count + 1, -1, dtype=np.int64)
    position[kept] = np.arange(len(kept))
    return replace(problem, members=position[problem.members], cures=problem.cures[:, kept])


def merged(problem: DecisionProblem) -> DecisionProblem:
    """The problem with hypotheses as one where no check tells them apart and the same repairs cure them."""
    cured_alike, _ = _kinds(problem.cures.T)
    width = problem.members.shape[1]
    present = (problem.left[:, None] >> np.arange(width) & 1).astype(bool)
    cured_by = np.where(present, np.append(cured_alike, -1)[problem.members], -1)
    traits = np.vstack([problem.lines, problem.persists, problem.left, cured_by.T]).astype(np.int64)
    kind, first = _kinds(traits.T)
    mass = np.bincount(kind, weights=problem.mass, minlength=len(first))
    return replace(problem.narrowed(first), mass=np.asarray(mass, dtype=np.float64))


def _kinds(rows: NDArray[np.int64] | NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """The kind of each row, equal rows being of a kind, and the first row of each kind, in order.

    Rows are told apart by a hash: rows that differ share it with a chance of about one in 10^19.
    """
    hashes = (rows.astype(np.uint64) + np.uint64(1)) @ _factors(rows.shape[1])
    order = np.argsort(hashes, kind="stable")
    fresh = np.flatnonzero(np.diff(hashes[order], prepend=~hashes[order[:1]]))
    first = np.sort(order[fresh])
    kind = np.empty(len(rows), dtype=np.intp)
    kind[order] = np.repeat(np.searchsorted(first, order[fresh]), np.diff(fresh, append=len(rows)))
    return kind, first


def _factors(count: int) -> NDArray[np.uint64]:
    """Odd numbers of 64 bits without a pattern: the mixing function of Steele, Lea and Flood (2014)."""
    state = np.arange(1, count + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    state = (state ^ (state >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    state = (state ^ (state >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return np.asarray((state ^ (state >> np.uint64(31))) | np.uint64(1))
