"""Reviews of names: everything that is named must exist, and be of the kind that is wanted there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from kickover.authoring.validate.context import ValidationContext, at, mend_name
from kickover.core.problem import Problem, SourcePlace
from kickover.formulas import registry
from kickover.model.library import (
    Check,
    Condition,
    FigureRef,
    FormulaRef,
    Library,
    Limit,
    Needs,
    names_in,
)


@dataclass(frozen=True, slots=True)
class _Named:
    """One name, where it stands, and the kind of thing that it must be."""

    name: str
    kind: str
    place: SourcePlace
    trail: tuple[str, ...]


def check_names(subject: ValidationContext) -> Iterator[Problem]:
    """Unknown names of every kind, the first `MOST_GUESSES` with the nearest known one."""
    known = _known(subject.library)
    unknown = (
        all_name
        for all_name in _all_names(subject.library)
        if all_name.name not in known[all_name.kind] and all_name.name not in subject.spoken_of
    )
    for count, one in enumerate(unknown):
        others = [kind for kind in _ELSEWHERE if one.name in known[kind]]
        message = f"there is no {one.kind} `{one.name}`"
        if others:
            message = f"`{one.name}` is {_A[others[0]]}, and {_A[one.kind]} is wanted here"
        hint = _ADD[one.kind]
        if {one.kind, *others} == {"tool", "spare"}:
            hint = f"name it under `{others[0]}s:`"
        elif count < (MOST_GUESSES if len(known[one.kind]) < 2_000 else MOST_GUESSES // 10):
            hint = mend_name(one.name, known[one.kind], hint)
        yield at(one.place, message, hint, *one.trail)


MOST_GUESSES = 200
_A = {
    "event": "an event",
    "complaint": "a complaint",
    "cause": "a cause",
    "house event": "a house event",
    "check": "a check",
    "setup": "a setup",
    "danger": "a danger",
    "setup or danger": "a setup or a danger",
    "hazard": "a hazard",
    "source": "a source",
    "tool": "a tool",
    "spare": "a spare",
    "item": "a tool or spare",
    "trait": "a trait",
    "figure": "a figure",
    "formula": "a formula",
    "machine": "a machine",
    "kit": "a kit",
}
_ADD = {
    "event": "add it under `events:`, or name another",
    "complaint": "add it under `complaints:`, or name another",
    "cause": "add it under `causes:`, or name another",
    "house event": "add it under `situation:`, or name another",
    "check": "add it under `checks:`, or name another",
    "setup": "add it under `setups:`, or name another",
    "danger": "add it under `dangers:`, or name another",
    "setup or danger": "add it under `setups:` or `dangers:`, or name another",
    "hazard": "add it under `hazards:`, or name another",
    "source": "add it under `sources:`, or name another",
    "tool": "add it under `tools:`, or name another",
    "spare": "add it under `spares:`, or name another",
    "item": "add it under `tools:` or `spares:`, or name another",
    "trait": "add it under `traits:`, or name another",
    "figure": "add it under `figures:`, or name another",
    "formula": "name one that `kickover figure` knows",
    "machine": "add it as the `machine:` of a file, or name another",
    "kit": "add it as the `kit:` of a file, or name another",
}
_ELSEWHERE = ("event", "setup", "danger", "tool", "spare", "hazard", "trait", "check")


def _known(library: Library) -> Mapping[str, Collection[str]]:
    return {
        "event": {*library.complaints, *library.gates, *library.causes, *library.houses},
        "complaint": library.complaints,
        "cause": library.causes,
        "house event": library.houses,
        "check": library.checks,
        "setup": {setup.id for setup in library.setups.values() if not setup.danger},
        "danger": {setup.id for setup in library.setups.values() if setup.danger},
        "setup or danger": library.setups,
        "hazard": library.hazards,
        "source": library.sources,
        "tool": {item.id for item in library.items.values() if not item.spare},
        "spare": {item.id for item in library.items.values() if item.spare},
        "item": library.items,
        "trait": library.traits,
        "figure": library.figures,
        "formula": registry(),
        "machine": library.machines,
        "kit": library.kits,
    }


@dataclass(slots=True)
class _Collector:
    """Collects the names of one entry."""

    place: SourcePlace
    trail: tuple[str, ...]
    found: list[_Named] = field(default_factory=list)

    def add(self, kind: str, names: Iterable[str], *steps: str) -> None:
        for name in names:
            self.found.append(_Named(name, kind, self.place, (*self.trail, *steps, name)))

    def condition(self, kind: str, condition: Condition, *steps: str) -> None:
        self.found += (_Named(name, kind, self.place, (*self.trail, *steps)) for name in names_in(condition))

    def needs(self, needs: Needs) -> None:
        self.add("tool", needs.tools, "tools")
        self.add("spare", needs.spares, "spares")
        self.add("setup", needs.setups, "needs")
        self.add("setup", needs.undone, "undone")
        self.add("danger", needs.leaves, "leaves")
        self.add("setup or danger", needs.clears, "clears")
        self.add("danger", needs.not_during, "not_during")
        self.add("hazard", needs.hazards, "hazards")
        self.condition("trait", needs.only_if, "only_if")
        self.condition("house event", needs.only_when, "only_when")

    def limit(self, limit: Limit | None, *steps: str) -> None:
        match limit.base if limit else None:
            case FigureRef(figure):
                self.found.append(_Named(figure, "figure", self.place, (*self.trail, *steps)))
            case FormulaRef(formula, arguments):
                self.found.append(_Named(formula, "formula", self.place, (*self.trail, *steps)))
                for name, one in arguments.items():
                    if isinstance(one, FigureRef):
                        trail = (*self.trail, *steps, "with", name)
                        self.found.append(_Named(one.figure, "figure", self.place, trail))


def _all_names(library: Library) -> Iterator[_Named]:
    yield from _of_events(library)
    for check in library.checks.values():
        yield from _of_check(check)
    yield from _of_work(library)
    yield from _of_profiles(library)
    yield from _of_upkeep(library)


def _of_events(library: Library) -> Iterator[_Named]:
    for section, gates in (
        ("complaints", [complaint.gate for complaint in library.complaints.values()]),
        ("events", list(library.gates.values())),
    ):
        for gate in gates:
            names = _Collector(gate.place, (section, gate.id))
            names.add("event", [line.event for line in gate.inputs], "of")
            names.condition("trait", gate.only_if, "only_if")
            yield from names.found
    for complaint in library.complaints.values():
        names = _Collector(complaint.gate.place, ("complaints", complaint.id))
        names.add("house event", complaint.implies, "implies")
        names.add("setup", complaint.proof.needs, "proof", "needs")
        names.add("hazard", complaint.proof.hazards, "proof", "hazards")
        yield from names.found
    for cause in library.causes.values():
        names = _Collector(cause.place, ("causes", cause.id))
        names.add("house event", cause.factors, "factors")
        names.add("source", cause.sources, "source")
        names.condition("trait", cause.only_if, "only_if")
        yield from names.found
    for house in library.houses.values():
        names = _Collector(house.place, ("situation", house.id))
        names.add("house event", house.excludes, "excludes")
        yield from names.found
    for tree in library.trees.values():
        names = _Collector(tree.place, ("trees", tree.id))
        names.add("event", tree.tops, "tops")
        yield from names.found


def _of_check(check: Check) -> Iterator[_Named]:
    names = _Collector(check.place, ("checks", check.id))
    names.needs(check.needs)
    names.add("source", check.sources, "source")
    yield from names.found
    for line in check.lines:
        lines = _Collector(line.place, ("checks", check.id))
        lines.condition("event", line.when)
        yield from lines.found
    for finding in check.findings:
        inside = _Collector(check.place, ("checks", check.id, "findings", finding.id))
        inside.add("danger", finding.leaves, "leaves")
        yield from inside.found
    for band in check.reading.bands if check.reading else ():
        edges = _Collector(band.place, ("checks", check.id, "reading", "bands", band.finding))
        edges.limit(band.low, "from")
        edges.limit(band.high, "below")
        yield from edges.found


def _of_work(library: Library) -> Iterator[_Named]:
    for repair in library.repairs.values():
        names = _Collector(repair.place, ("repairs", repair.id))
        names.add("cause", repair.cures, "cures")
        names.add("figure", repair.figures, "figures")
        names.add("source", repair.sources, "source")
        names.needs(repair.needs)
        yield from names.found
    for setup in library.setups.values():
        names = _Collector(setup.place, ("dangers" if setup.danger else "setups", setup.id))
        names.add("figure", setup.figures, "figures")
        names.needs(setup.needs)
        yield from names.found
    for hazard in library.hazards.values():
        names = _Collector(hazard.place, ("hazards", hazard.id))
        names.add("source", hazard.sources, "source")
        yield from names.found


def _of_profiles(library: Library) -> Iterator[_Named]:
    for figure in library.figures.values():
        names = _Collector(figure.place, ("figures", figure.id))
        names.add("source", figure.sources, "source")
        for fitting, _ in figure.assumed:
            names.condition("trait", fitting, "assumed")
        yield from names.found
    for machine in library.machines.values():
        names = _Collector(machine.place, ("machine",))
        names.add("trait", sorted(machine.traits), "traits")
        names.add("figure", machine.figures, "figures")
        yield from names.found
    for kit in library.kits.values():
        names = _Collector(kit.place, ("kit",))
        names.add("item", sorted(kit.items), "items")
        yield from names.found


def _of_upkeep(library: Library) -> Iterator[_Named]:
    for lesson in library.lessons.values():
        names = _Collector(lesson.place, ("lessons", lesson.id))
        names.add("complaint", [lesson.complaint], "complaint")
        names.add("machine", [lesson.machine], "machine")
        names.add("cause", lesson.faults, "faults")
        names.add("kit", [lesson.kit] if lesson.kit else [], "kit")
        names.add("house event", lesson.given, "given")
        yield from names.found
    for service in library.services.values():
        names = _Collector(service.place, ("service", service.id))
        names.add("cause", service.prevents, "prevents")
        names.add("figure", service.figures, "figures")
        names.add("source", service.sources, "source")
        names.needs(service.needs)
        yield from names.found
    for order in library.expert_orders.values():
        names = _Collector(order.place, ("expert-orders", order.complaint))
        names.add("complaint", [order.complaint])
        names.add("check", order.checks, "checks")
        names.add("source", order.sources, "source")
        yield from names.found
