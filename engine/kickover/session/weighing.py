"""What an answer, or the same check made several times, weighs for each finding of the check."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import sqrt

from kickover.core.ids import CheckId, FindingId
from kickover.core.problem import KickoverError
from kickover.inference.compiled_model import Model
from kickover.inference.soft_evidence import (
    KEPT,
    choice_weights,
    range_weights,
    reading_weights,
    standard_error,
)
from kickover.model.library import Check, Reading
from kickover.session.entries import Answer, Answered, Measured
from kickover.units import Quantity


class WalkError(KickoverError):
    """An entry that does not fit the walk: an unknown check, finding, repair or state."""


def check_named(model: Model, name: str) -> Check:
    """The check of that name for this machine; WalkError for any other name."""
    check = model.checks.get(CheckId(name))
    if check is None:
        raise WalkError(f"there is no check {name!r} for {model.machine.title}")
    return check


def answer_weights(model: Model, entry: Answer) -> tuple[float, ...]:
    """The weight that one answer gives to each finding of its check; WalkError when it does not fit it."""
    check = check_named(model, entry.check)
    if isinstance(entry, Answered):
        if check.finding(entry.finding) is None:
            known = ", ".join(finding.id for finding in check.findings)
            raise WalkError(f"check {check.id!r} has no finding {entry.finding!r}; it has {known}")
        return choice_weights(check, FindingId(entry.finding), entry.sureness)
    return _reading_weights(model, check, (entry,))


def repeated_weights(model: Model, entries: Sequence[Answer]) -> tuple[float, ...]:
    """The weights of one check made several times in the same state: the mean reading, or the mean answer.

    Repeats with the same hands and instrument are not independent, so they never count twice over.
    """
    if len(entries) == 1:
        return answer_weights(model, entries[0])
    readings = [entry for entry in entries if isinstance(entry, Measured)]
    if len(readings) == len(entries):
        return _reading_weights(model, check_named(model, entries[0].check), readings)
    each = [answer_weights(model, entry) for entry in entries]
    return tuple(sum(column) / len(each) for column in zip(*each, strict=True))


def _reading_weights(model: Model, check: Check, entries: Sequence[Measured]) -> tuple[float, ...]:
    if check.reading is None:
        raise WalkError(f"check {check.id!r} takes an answer, not a reading")
    edges = model.edges[check.id]
    low = sum(entry.low for entry in entries) / len(entries)
    high = sum(entry.high for entry in entries) / len(entries)
    reading = _as_read(check.reading, entries)
    if low == high:
        weights = reading_weights(reading, edges, low, len(entries))
    else:
        weights = range_weights(reading, edges, low, high)
    kept = sum(KEPT[entry.sureness] for entry in entries) / len(entries)
    others = len(weights) - 1
    if kept == 1.0 or not others:
        return weights
    rest = (1.0 - kept) / others
    return tuple(kept * weight + rest * (1.0 - weight) for weight in weights)


def _as_read(reading: Reading, entries: Sequence[Measured]) -> Reading:
    """The reading with the error of the instruments that were used; of several, the root mean square."""
    if not any(entry.error > 0.0 for entry in entries):
        return reading
    errors = [
        entry.error if entry.error > 0.0 else standard_error(reading, (entry.low + entry.high) / 2.0)
        for entry in entries
    ]
    error = sqrt(sum(one * one for one in errors) / len(errors))
    return replace(reading, error_share=0.0, error_fixed=Quantity(error, reading.unit))
