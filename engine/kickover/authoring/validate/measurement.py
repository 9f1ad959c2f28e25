"""Reviews of measurements: bands without holes, limits with numbers on every machine, units that fit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from kickover.authoring.validate.context import ValidationContext, listed_ids, wrong
from kickover.core.ids import FigureId
from kickover.core.problem import Problem
from kickover.model.library import Band, Check, Figure, FigureRef, FormulaRef, Machine, Reading, Repair, Setup
from kickover.model.limits import LimitError, figure_of, resolve, resolved_bands
from kickover.units import Quantity, QuantityError, dimension_of


def check_figures(subject: ValidationContext) -> Iterator[Problem]:
    """Figures whose values have another kind of unit than the figure."""
    library = subject.library
    for figure in library.figures.values():
        for _, value in figure.assumed:
            if not _fits(value, figure.unit):
                message = f"`{figure.id}` is in {_named(figure.unit)}, and {value} is not"
                yield wrong(figure, message, f"write it in {_named(figure.unit)}", "assumed")
    for machine in library.machines.values():
        for name, value in machine.figures.items():
            if name in library.figures and not _fits(value, unit := library.figures[name].unit):
                message = f"`{name}` is in {_named(unit)}, and {value} is not"
                yield wrong(machine, message, f"write it in {_named(unit)}", "figures", name)


def check_agreement(subject: ValidationContext) -> Iterator[Problem]:
    """Figures that other figures of the same machine contradict, or that are beyond what is built."""
    library = subject.library
    for machine in library.machines.values():
        for figure in library.figures.values():
            needed = _figures_behind(figure)
            if not needed or not needed <= machine.figures.keys():
                continue
            trail = ("figures", figure.id if figure.id in machine.figures else min(needed))
            try:
                follows = resolve(figure.follows, figure.unit, library, machine) if figure.follows else 0.0
            except LimitError as error:
                yield wrong(machine, str(error), "mend the figures it is worked out from", *trail)
                continue
            made = f"make `{figure.id}` {follows:.4g} {figure.unit}"
            worked = f"{listed_ids(sorted(needed))} of `{machine.id}` {made}"
            stated = machine.figures.get(figure.id)
            if (
                stated is not None
                and _fits(stated, figure.unit)
                and abs(stated.within(figure.unit) - follows) > figure.within * follows
            ):
                yield wrong(machine, f"{worked}, and it states {stated}", "mend one of them", *trail)
            for bound, beyond in ((figure.least, -1.0), (figure.most, 1.0)):
                if bound is not None and beyond * (follows - bound.within(figure.unit)) > 0:
                    side = "most" if beyond > 0 else "least"
                    yield wrong(machine, f"{worked}; {side} is {bound}", "mend the figures", *trail)


def _figures_behind(figure: Figure) -> frozenset[FigureId]:
    """The figures from which a figure follows by a formula."""
    base = figure.follows.base if figure.follows else None
    if not isinstance(base, FormulaRef):
        return frozenset()
    return frozenset(each.figure for each in base.arguments.values() if isinstance(each, FigureRef))


def check_readings(subject: ValidationContext) -> Iterator[Problem]:
    """Readings whose bands have holes or overlaps, or whose limits cannot be met on some machine."""
    for check in subject.library.checks.values():
        if check.reading is None:
            continue
        problems = [*_unit_problems(check, check.reading), *_band_problems(check, check.reading)]
        yield from problems
        if not problems:
            yield from _limit_problems(subject, check, check.reading)


def _unit_problems(check: Check, reading: Reading) -> Iterator[Problem]:
    for key, value in (("least", reading.least), ("most", reading.most), ("error", reading.error_fixed)):
        if not _fits(value, reading.unit):
            message = f"the reading of `{check.id}` is in {_named(reading.unit)}, and {value} is not"
            yield wrong(check, message, f"write it in {_named(reading.unit)}", "reading", key)
            return
    if reading.least >= reading.most:
        message = f"`{check.id}` can be read from {reading.least} to {reading.most}, which is nothing"
        yield wrong(check, message, "write `least:` below `most:`", "reading", "most")
    if reading.error_share <= 0 and reading.error_fixed.value <= 0:
        message = f"the instrument of `{check.id}` has no error"
        yield wrong(
            check, message, "write its standard deviation, such as `{share: 0.05}`", "reading", "error"
        )


def _band_problems(check: Check, reading: Reading) -> Iterator[Problem]:
    def about(band: Band, message: str, hint: str, *key: str) -> Problem:
        return wrong(check, message, hint, "reading", "bands", band.finding, *key, place=band.place)

    seen: set[str] = set()
    for band in reading.bands:
        if band.finding in seen:
            message = f"`{check.id}` has two bands for `{band.finding}`"
            yield about(band, message, "give each band a finding of its own")
        seen.add(band.finding)
    first, last = reading.bands[0], reading.bands[-1]
    if first.low is not None:
        yield about(first, f"the first band of `{check.id}` has a `from`", "delete it", "from")
    if last.high is not None:
        yield about(last, f"the last band of `{check.id}` has a `below`", "delete it", "below")
    for band, after in pairwise(reading.bands):
        if band.high is None:
            yield about(band, f"nothing ends `{band.finding}` in `{check.id}`", "add `below: ...`")
        elif after.low is None:
            message = f"nothing starts `{after.finding}` in `{check.id}`"
            yield about(after, message, f"add the `below` of `{band.finding}` as its `from`")
        elif band.high != after.low:
            message = f"`{band.finding}` of `{check.id}` does not end where `{after.finding}` starts"
            hint = f"write the same for `from` as for the `below` of `{band.finding}`"
            yield about(after, message, hint, "from")


def _limit_problems(subject: ValidationContext, check: Check, reading: Reading) -> Iterator[Problem]:
    refused: dict[str, list[str]] = defaultdict(list)
    for machine in subject.machines:
        if machine.fits(check.needs.only_if):
            try:
                resolved_bands(reading, subject.library, machine)
            except LimitError as error:
                refused[str(error)].append(machine.id)
    for said, machines in refused.items():
        message, _, hint = said.partition("; ")
        on = "" if any(machine in message for machine in machines) else f" (on {listed_ids(machines)})"
        yield wrong(check, f"`{check.id}`: {message}{on}", hint or "mend the limit", "reading", "bands")


def check_finished_to(subject: ValidationContext) -> Iterator[Problem]:
    """Repairs and setups that are finished to a figure which a machine that they fit does not have."""
    library = subject.library
    finished: list[Repair | Setup] = [*library.repairs.values(), *library.setups.values()]
    for known in finished:
        for figure in known.figures:
            if figure not in library.figures or figure in subject.spoken_of:
                continue
            without = [
                machine.id
                for machine in subject.machines
                if machine.fits(known.needs.only_if) and not _has(subject, machine, figure)
            ]
            if without:
                bare = f"which has no number on {listed_ids(without)}"
                message = f"`{known.id}` is finished to `{figure}`, {bare}"
                hint = "add `assumed:` to the figure, or state it for the machine"
                yield wrong(known, message, hint, "figures", figure)


def _has(subject: ValidationContext, machine: Machine, figure: FigureId) -> bool:
    try:
        figure_of(subject.library, machine, figure)
    except LimitError:
        return False
    return True


def check_exclusive_traits(subject: ValidationContext) -> Iterator[Problem]:
    """Machines with two traits of a group of which one can only be."""
    traits = subject.library.traits
    for machine in subject.library.machines.values():
        by_group: dict[str, list[str]] = defaultdict(list)
        for name in sorted(machine.traits):
            if name in traits and traits[name].group not in SEVERAL:
                by_group[traits[name].group].append(name)
        for group, names in by_group.items():
            if len(names) > 1:
                message = f"{machine.id} has {listed_ids(names)}, and a machine has one {group} only"
                yield wrong(machine, message, "keep one of them", "traits", names[-1])


SEVERAL = frozenset({"start", "build", "drive"})
"""The groups of traits of which a machine may have several."""


def _fits(value: Quantity, unit: str) -> bool:
    try:
        return value.dimension == dimension_of(unit)
    except QuantityError:
        return False


def _named(unit: str) -> str:
    return unit or "a bare number"


REVIEWS = (check_figures, check_agreement, check_readings, check_finished_to, check_exclusive_traits)
