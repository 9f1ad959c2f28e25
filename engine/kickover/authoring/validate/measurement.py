"""Reviews of measurements: bands without holes, limits with numbers on every machine, units that fit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from kickover.authoring.validate.context import ValidationContext, at, listed_ids
from kickover.core.ids import FigureId
from kickover.core.problem import Problem
from kickover.model.library import Check, Figure, FigureRef, FormulaRef, Machine, Reading
from kickover.model.limits import LimitError, figure_of, resolve, resolved_bands
from kickover.units import Quantity, QuantityError, dimension_of


def check_figures(subject: ValidationContext) -> Iterator[Problem]:
    """Figures whose values have another kind of unit than the figure."""
    library = subject.library
    for figure in library.figures.values():
        for _, value in figure.assumed:
            if not _fits(value, figure.unit):
                message = f"`{figure.id}` is in {_named(figure.unit)}, and {value} is not"
                yield at(
                    figure.place,
                    message,
                    f"write it in {_named(figure.unit)}",
                    "figures",
                    figure.id,
                    "assumed",
                )
    for machine in library.machines.values():
        for name, value in machine.figures.items():
            if name in library.figures and not _fits(value, unit := library.figures[name].unit):
                message = f"`{name}` is in {_named(unit)}, and {value} is not"
                yield at(machine.place, message, f"write it in {_named(unit)}", "machine", "figures", name)


def check_agreement(subject: ValidationContext) -> Iterator[Problem]:
    """Figures that other figures of the same machine contradict, or that are beyond what is built."""
    library = subject.library
    for machine in library.machines.values():
        for figure in library.figures.values():
            needed = _figures_behind(figure)
            if not needed or not needed <= machine.figures.keys():
                continue
            trail = ("machine", "figures", figure.id if figure.id in machine.figures else min(needed))
            try:
                follows = resolve(figure.follows, figure.unit, library, machine) if figure.follows else 0.0
            except LimitError as error:
                yield at(machine.place, str(error), "mend the figures it is worked out from", *trail)
                continue
            made = f"make `{figure.id}` {follows:.4g} {figure.unit}"
            worked = f"{listed_ids(sorted(needed))} of `{machine.id}` {made}"
            stated = machine.figures.get(figure.id)
            if (
                stated is not None
                and _fits(stated, figure.unit)
                and abs(stated.within(figure.unit) - follows) > figure.within * follows
            ):
                yield at(machine.place, f"{worked}, and it states {stated}", "mend one of them", *trail)
            for bound, beyond in ((figure.least, -1.0), (figure.most, 1.0)):
                if bound is not None and beyond * (follows - bound.within(figure.unit)) > 0:
                    side = "most" if beyond > 0 else "least"
                    yield at(machine.place, f"{worked}; {side} is {bound}", "mend the figures", *trail)


def _figures_behind(figure: Figure) -> frozenset[FigureId]:
    """The figures from which a figure follows by a formula."""
    base = figure.follows.base if figure.follows else None
    if not isinstance(base, FormulaRef):
        return frozenset()
    return frozenset(one.figure for one in base.arguments.values() if isinstance(one, FigureRef))


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
    trail = ("checks", check.id, "reading")
    for key, value in (("least", reading.least), ("most", reading.most), ("error", reading.error_fixed)):
        if not _fits(value, reading.unit):
            message = f"the reading of `{check.id}` is in {_named(reading.unit)}, and {value} is not"
            yield at(check.place, message, f"write it in {_named(reading.unit)}", *trail, key)
            return
    if reading.least >= reading.most:
        message = f"`{check.id}` can be read from {reading.least} to {reading.most}, which is nothing"
        yield at(check.place, message, "write `least:` below `most:`", *trail, "most")
    if reading.error_share <= 0 and reading.error_fixed.value <= 0:
        message = f"the instrument of `{check.id}` has no error"
        yield at(
            check.place, message, "write its standard deviation, such as `{share: 0.05}`", *trail, "error"
        )


def _band_problems(check: Check, reading: Reading) -> Iterator[Problem]:
    trail = ("checks", check.id, "reading", "bands")
    seen: set[str] = set()
    for band in reading.bands:
        if band.finding in seen:
            message = f"`{check.id}` has two bands for `{band.finding}`"
            yield at(band.place, message, "give each band a finding of its own", *trail, band.finding)
        seen.add(band.finding)
    first, last = reading.bands[0], reading.bands[-1]
    if first.low is not None:
        yield at(
            first.place,
            f"the first band of `{check.id}` has a `from`",
            "delete it",
            *trail,
            first.finding,
            "from",
        )
    if last.high is not None:
        yield at(
            last.place,
            f"the last band of `{check.id}` has a `below`",
            "delete it",
            *trail,
            last.finding,
            "below",
        )
    for band, after in zip(reading.bands, reading.bands[1:], strict=False):
        if band.high is None:
            message = f"nothing ends `{band.finding}` in `{check.id}`"
            yield at(band.place, message, "add `below: ...`", *trail, band.finding)
        elif after.low is None:
            message = f"nothing starts `{after.finding}` in `{check.id}`"
            yield at(
                after.place,
                message,
                f"add the `below` of `{band.finding}` as its `from`",
                *trail,
                after.finding,
            )
        elif band.high != after.low:
            message = f"`{band.finding}` of `{check.id}` does not end where `{after.finding}` starts"
            hint = f"write the same for `from` as for the `below` of `{band.finding}`"
            yield at(after.place, message, hint, *trail, after.finding, "from")


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
        trail = ("checks", check.id, "reading", "bands")
        yield at(check.place, f"`{check.id}`: {message}{on}", hint or "mend the limit", *trail)


def check_finished_to(subject: ValidationContext) -> Iterator[Problem]:
    """Repairs and setups that are finished to a figure which a machine that they fit does not have."""
    library = subject.library
    for section, group in (("repairs", library.repairs), ("setups", library.setups)):
        for known in group.values():
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
                    yield at(known.place, message, hint, section, known.id, "figures", figure)


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
                yield at(machine.place, message, "keep one of them", "machine", "traits", names[-1])


SEVERAL = frozenset({"start", "build", "drive"})
"""The groups of traits of which a machine may have several."""


def _fits(value: Quantity, unit: str) -> bool:
    try:
        return value.dimension == dimension_of(unit)
    except QuantityError:
        return False


def _named(unit: str) -> str:
    return unit or "a bare number"
