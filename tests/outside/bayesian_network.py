"""The shipped model written a second time, as a Bayesian network for a general-purpose package.

Built from the library's values alone: nothing of `kickover.inference` is used. Every gate is a chain of small
nodes, so that no table grows with the number of inputs. The tree stands there once for each repair that was
made: a cause is left when it was there and the repair, a noisy node of its own, did not work on it. A cause
is there by itself or is brought (noisy or); under observed or-gates stand undeveloped events; what is told of
a check is its finding seen through a slip. One more node states how many causes there may be at once, and the
rest of the unlisted cause is an alternative to all of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import pyagrum as gum

from kickover.core.ids import RepairId
from kickover.model.library import (
    All,
    Any,
    Check,
    Condition,
    Input,
    Is,
    Library,
    Machine,
    Not,
    names_in,
)


@dataclass
class Network:
    """The network of the listed causes, and what is needed to add the unlisted one."""

    library: Library
    machine: Machine
    complaint: str
    houses: frozenset[str]
    order: int
    scale: float
    made: tuple[RepairId, ...] = ()
    net: gum.BayesNet = field(default_factory=lambda: gum.BayesNet("engine"))
    causes: list[str] = field(default_factory=list)
    _made: dict[str, str] = field(default_factory=dict)
    _serial: int = 0

    def __post_init__(self) -> None:
        self.undeveloped = dict(_undeveloped_rates(self.library, self.machine))
        self.something_else: list[str] = []
        self.met: list[str] = []
        self.tops = [self.event(self.complaint, stage) for stage in range(len(self.made) + 1)]
        self._count_causes()

    def event(self, name: str, stage: int = 0) -> str:
        """The node of an event after `stage` repairs; what the machine cannot have is a constant false."""
        key = f"{stage}:{name}"
        if key not in self._made:
            self._made[key] = self._make(name, stage)
        return self._made[key]

    def finding(self, check: Check, stage: int = 0) -> str:
        """The node of what is told of a check, by its first matching line and through a slip."""
        key = f"{stage}:check:{check.id}"
        if key in self._made:
            return self._made[key]
        lines = len(check.lines)
        chosen = self._constant(False)
        states = ""
        for number, line in enumerate(check.lines):
            holds = self._condition(line.when, stage)
            chosen_now = self._table(2, [chosen, holds], lambda a, b: int(a or b))
            states = (
                self._table(lines, [holds], lambda _b, n=number: n)
                if number == 0
                else self._table(
                    lines, [states, chosen, holds], lambda s, c, h, n=number: s if c or not h else n
                )
            )
            chosen = chosen_now
        shown = self._node(len(check.findings), [states])
        for number, line in enumerate(check.lines):
            self.net.cpt(shown)[{states: number}] = [
                line.chances.get(finding.id, 0.0) for finding in check.findings
            ]
        told = self._node(len(check.findings), [shown])
        for number in range(len(check.findings)):
            self.net.cpt(told)[{shown: number}] = _told(self.library, check, number)
        self._made[key] = told
        return told

    def proof(self, stage: int) -> str:
        """What the repair before `stage` did: ended it, mended in part, in vain, treats nothing there."""
        repair = self.library.repairs[self.made[stage - 1]]
        treated, mended = self._constant(False), self._constant(False)
        for cause in repair.cures:
            there = self.event(cause, stage - 1)
            gone = self._table(2, [there, self.event(cause, stage)], lambda a, b: int(a and not b))
            treated = self._table(2, [treated, there], lambda a, b: int(a or b))
            mended = self._table(2, [mended, gone], lambda a, b: int(a or b))
        return self._table(
            4, [self.tops[stage], mended, treated], lambda t, m, a: 0 if not t else 1 if m else 2 if a else 3
        )

    def _make(self, name: str, stage: int) -> str:
        library = self.library
        if name in library.houses:
            return self._constant(name in self.houses)
        if name in library.causes:
            return self._present(name) if stage == 0 else self._left(name, stage)
        gate = library.gate(name)  # type: ignore[arg-type]
        assert gate is not None
        if not self.machine.fits(gate.only_if):
            return self._constant(False)
        count = self._constant(False, states=gate.needed + 1)
        lines = [self._through(gate.id, input_, stage) for input_ in gate.inputs]
        if name in self.undeveloped:
            lines.append(self._other(name))
        for line in lines:
            count = self._table(gate.needed + 1, [count, line], lambda c, v, n=gate.needed: min(n, c + v))
        return self._table(2, [count], lambda c, n=gate.needed: int(c == n))

    def _through(self, gate: str, input_: Input, stage: int) -> str:
        line = self.event(input_.event, stage)
        if input_.chance == 1.0:
            return line
        key = f"link:{gate}:{input_.event}"
        if key not in self._made:
            self._made[key] = self._chance(input_.chance)
        return self._table(2, [line, self._made[key]], lambda a, b: int(a and b))

    def _other(self, gate: str) -> str:
        """The undeveloped event under a gate; no repair that is tested here mends it."""
        name = f"something-else-at-{gate}"
        if gate not in self._relevant():
            return self._constant(False)
        if name not in self._made:
            odds = self.scale * self.undeveloped[gate]
            self._made[name] = self._chance(odds / (1.0 + odds))
            self.something_else.append(name)
            self.met.append(name)
        return self._made[name]

    def _present(self, name: str) -> str:
        library = self.library
        cause = library.causes[name]  # type: ignore[index]
        if not self.machine.fits(cause.only_if) or name not in self._relevant():
            return self._constant(False)
        odds = self.scale * cause.rate
        for house, factor in cause.factors.items():
            odds *= factor if house in self.houses else 1.0
        self.causes.append(name)
        self.met.append(name)
        node = self._chance(odds / (1.0 + odds))
        for bringer, brings in library.brings.items():
            for brought, chance in brings.events.items():
                if brought == name:
                    came = self._table(
                        2, [self.event(bringer), self._chance(chance)], lambda a, b: int(a and b)
                    )
                    node = self._table(2, [node, came], lambda a, b: int(a or b))
        return node

    def _left(self, name: str, stage: int) -> str:
        before = self.event(name, stage - 1)
        works = self.library.repairs[self.made[stage - 1]].cures.get(name)  # type: ignore[call-overload]
        if not works:
            return before
        return self._table(2, [before, self._chance(1.0 - works)], lambda a, b: int(a and b))

    def _relevant(self) -> frozenset[str]:
        """The causes under the complaint: others are no part of the model."""
        if not hasattr(self, "_under"):
            seen: set[str] = set()
            stack = [self.complaint]
            while stack:
                name = stack.pop()
                if name in seen:
                    continue
                seen.add(name)
                gate = self.library.gate(name)  # type: ignore[arg-type]
                if gate is not None and self.machine.fits(gate.only_if):
                    stack += [input_.event for input_ in gate.inputs]
            self._under = frozenset(seen)
        return self._under

    def _condition(self, condition: Condition, stage: int) -> str:
        match condition:
            case Is(name):
                return self.event(name, stage)
            case Not(part):
                return self._table(2, [self._condition(part, stage)], lambda a: 1 - a)
            case All(parts):
                node = self._constant(True)
                for part in parts:
                    node = self._table(2, [node, self._condition(part, stage)], lambda a, b: int(a and b))
                return node
            case Any(parts):
                node = self._constant(False)
                for part in parts:
                    node = self._table(2, [node, self._condition(part, stage)], lambda a, b: int(a or b))
                return node

    def _count_causes(self) -> None:
        """Allow 1 to `order` causes, or one undeveloped event alone; in the order in which they were met."""
        most = self.order + 1
        other = self.order + 2
        states = self.order + (3 if self.something_else else 2)
        count = self._constant(False, states=states)
        for name in self.met:
            if name in self.something_else:
                count = self._table(
                    states,
                    [count, self._made[name]],
                    lambda c, v: c if not v else other if c == 0 else most,
                )
            else:
                count = self._table(
                    states,
                    [count, self.event(name)],
                    lambda c, v: c if not v else most if c == other else min(most, c + 1),
                )
        self.allowed = self._table(2, [count], lambda c: int(1 <= c <= self.order or c == other))

    def _chance(self, probability: float) -> str:
        node = self._node(2, [])
        self.net.cpt(node).fillWith([1.0 - probability, probability])
        return node

    def _constant(self, value: bool, states: int = 2) -> str:
        key = f"constant:{value}:{states}"
        if key not in self._made:
            node = self._node(states, [])
            self.net.cpt(node).fillWith([float(state == int(value)) for state in range(states)])
            self._made[key] = node
        return self._made[key]

    def _table(self, states: int, parents: Sequence[str], rule: object) -> str:
        node = self._node(states, list(dict.fromkeys(parents)))
        cpt = self.net.cpt(node)
        grid = gum.Instantiation()
        for parent in dict.fromkeys(parents):
            grid.add(self.net.variableFromName(parent))
        grid.setFirst()
        while not grid.end():
            values = {parent: grid.val(self.net.variableFromName(parent)) for parent in parents}
            result = rule(*(values[parent] for parent in parents))  # type: ignore[operator]
            cpt[values] = [float(state == result) for state in range(max(states, 2))]
            grid.inc()
        return node

    def _node(self, states: int, parents: list[str]) -> str:
        self._serial += 1
        name = f"n{self._serial}"
        self.net.add(gum.RangeVariable(name, "", 0, max(states - 1, 1)))
        for parent in parents:
            self.net.addArc(parent, name)
        return name


@dataclass(frozen=True)
class Oracle:
    """What the package says: the probability of each cause, and of the unlisted one."""

    causes: Mapping[str, float]
    unlisted: float


Answers = Mapping[tuple[str, int], Sequence[float]]
"""Weights on the findings of checks, each made after so many repairs."""


def ask(network: Network, answers: Answers, proofs: Sequence[Sequence[float]] = ()) -> Oracle:
    """Let the package infer, with `answers` as weights on what is told of checks (virtual evidence).

    After each repair the complaint is still there; `proofs` weigh what the repairs may have done (`proof`).
    """
    settings = network.library.settings
    told = {
        network.finding(network.library.checks[check], stage): list(weights)  # type: ignore[index]
        for (check, stage), weights in answers.items()
    }
    told |= {network.proof(stage): list(weights) for stage, weights in enumerate(proofs, start=1)}
    engine = gum.LazyPropagation(network.net)
    engine.setEvidence({network.tops[0]: 1, network.allowed: 1})
    before = engine.evidenceProbability()
    persisting = dict.fromkeys(network.tops, 1)
    engine.setEvidence({**persisting, network.allowed: 1, **told})
    listed = (1.0 - settings.unlisted_share) * engine.evidenceProbability() / before
    quiet, loud = 1.0 - settings.unlisted_open, settings.unlisted_open
    for (check, _), given in answers.items():
        known = network.library.checks[check]  # type: ignore[index]
        quiet *= _chance_of_nothing_wrong(network, known, given)
        loud *= sum(given) / len(given)
    unlisted = settings.unlisted_share * (quiet + loud)
    for weights in proofs:
        unlisted *= weights[3]
    share = listed / (listed + unlisted)
    last = len(network.made)
    causes = {name: share * float(engine.posterior(network.event(name, last))[1]) for name in network.causes}
    others = {
        name: share * float(engine.posterior(network._made[name])[1]) for name in network.something_else
    }
    return Oracle(causes | others, 1.0 - share + sum(others.values()))


def _told(library: Library, check: Check, shown: int) -> list[float]:
    """The chances of what is told when one finding is shown."""
    count = len(check.findings)
    slip = library.settings.slips.get(check.kind, 0.0) if count > 1 else 0.0
    return [1.0 - slip if place == shown else slip / (count - 1) for place in range(count)]


def _chance_of_nothing_wrong(network: Network, check: Check, weights: Sequence[float]) -> float:
    """The chance of an answer when nothing listed is wrong."""
    true = _without_causes(network)
    line = next(one for one in check.lines if _holds(one.when, true))
    return sum(
        line.chances.get(one.id, 0.0) * weight * told
        for place, one in enumerate(check.findings)
        for weight, told in zip(weights, _told(network.library, check, place), strict=True)
    )


def _undeveloped_rates(library: Library, machine: Machine) -> Iterator[tuple[str, float]]:
    """The rate of the undeveloped event under each or-gate that a check of the machine observes."""
    observed = {
        name
        for check in library.checks.values()
        if machine.fits(check.needs.only_if)
        for line in check.lines
        for name in names_in(line.when)
    }
    tops = {complaint.id: complaint.gate for complaint in library.complaints.values()}
    gates = {**library.gates, **tops}
    usual = library.settings.undeveloped_share
    taken = {
        name: usual if gate.undeveloped is None else gate.undeveloped
        for name, gate in gates.items()
        if name in observed and gate.needed == 1 and machine.fits(gate.only_if)
    }
    taken = {name: share for name, share in taken.items() if share > 0.0}

    def ends(name: str) -> set[str]:
        """The causes and lower such gates that are met first on the way down."""
        if name in taken or name in library.causes:
            return {name}
        gate = gates.get(name)  # type: ignore[call-overload]
        if gate is None or not machine.fits(gate.only_if):
            return set()
        return set().union(*(ends(input_.event) for input_ in gate.inputs))

    for name, share in taken.items():
        below = set().union(*(ends(input_.event) for input_ in gates[name].inputs))
        rate = 0.0
        for one in below:
            if one in taken:
                rate += 1.0
            elif machine.fits(library.causes[one].only_if):  # type: ignore[index]
                rate += library.causes[one].rate  # type: ignore[index]
        yield name, share * rate


def _without_causes(network: Network) -> frozenset[str]:
    """The events that are true with no cause at all: the complaint itself, and what follows from it."""
    true = set(network.houses) | {network.complaint}
    complaints = [complaint.gate for complaint in network.library.complaints.values()]
    while True:
        more = {
            gate.id
            for gate in (*network.library.gates.values(), *complaints)
            if gate.id not in true
            and network.machine.fits(gate.only_if)
            and sum(input_.event in true and input_.chance == 1.0 for input_ in gate.inputs) >= gate.needed
        }
        if not more:
            return frozenset(true)
        true |= more


def _holds(condition: Condition, true: frozenset[str]) -> bool:
    match condition:
        case Is(name):
            return name in true
        case Not(part):
            return not _holds(part, true)
        case All(parts):
            return all(_holds(part, true) for part in parts)
        case Any(parts):
            return any(_holds(part, true) for part in parts)
