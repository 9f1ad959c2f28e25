"""The shipped model written a second time, as a Bayesian network for a general-purpose package.

Built from the library's values alone: nothing of `kickover.inference` is used. Every gate is a chain of small
nodes, so that no table grows with the number of inputs. Two more nodes state the rest of DESIGN section 3:
how many causes there may be at once, and that the unlisted cause is an alternative to all of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import pyagrum as gum

from kickover.model.library import All, Any, Check, Condition, Is, Library, Machine, Not


@dataclass
class Network:
    """The network of the listed causes, and what is needed to add the unlisted one."""

    library: Library
    machine: Machine
    complaint: str
    houses: frozenset[str]
    order: int
    scale: float
    net: gum.BayesNet = field(default_factory=lambda: gum.BayesNet("engine"))
    causes: list[str] = field(default_factory=list)
    _made: dict[str, str] = field(default_factory=dict)
    _serial: int = 0

    def __post_init__(self) -> None:
        self.top = self.event(self.complaint)
        self._count_causes()

    def event(self, name: str) -> str:
        """The node of an event; what the machine cannot have is a constant false."""
        if name not in self._made:
            self._made[name] = self._make(name)
        return self._made[name]

    def finding(self, check: Check) -> str:
        """The node of a check's findings, by its first matching line."""
        key = f"check:{check.id}"
        if key in self._made:
            return self._made[key]
        lines = len(check.lines)
        chosen = self._constant(False)
        states = ""
        for number, line in enumerate(check.lines):
            holds = self._condition(line.when)
            chosen_now = self._table(2, [chosen, holds], lambda a, b: int(a or b))
            states = (
                self._table(lines, [holds], lambda _b, n=number: n)
                if number == 0
                else self._table(
                    lines, [states, chosen, holds], lambda s, c, h, n=number: s if c or not h else n
                )
            )
            chosen = chosen_now
        node = self._node(len(check.findings), [states])
        for number, line in enumerate(check.lines):
            self.net.cpt(node)[{states: number}] = [
                line.chances.get(finding.id, 0.0) for finding in check.findings
            ]
        self._made[key] = node
        return node

    def _make(self, name: str) -> str:
        library = self.library
        if name in library.houses:
            return self._constant(name in self.houses)
        if name in library.causes:
            cause = library.causes[name]  # type: ignore[index]
            if not self.machine.fits(cause.only_if) or name not in self._relevant():
                return self._constant(False)
            odds = self.scale * cause.rate
            for house, factor in cause.factors.items():
                odds *= factor if house in self.houses else 1.0
            self.causes.append(name)
            return self._chance(odds / (1.0 + odds))
        gate = library.gate(name)  # type: ignore[arg-type]
        assert gate is not None
        if not self.machine.fits(gate.only_if):
            return self._constant(False)
        count = self._constant(False, states=gate.needed + 1)
        for input_ in gate.inputs:
            line = self.event(input_.event)
            if input_.chance < 1.0:
                line = self._table(2, [line, self._chance(input_.chance)], lambda a, b: int(a and b))
            count = self._table(gate.needed + 1, [count, line], lambda c, v, n=gate.needed: min(n, c + v))
        return self._table(2, [count], lambda c, n=gate.needed: int(c == n))

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

    def _condition(self, condition: Condition) -> str:
        match condition:
            case Is(name):
                return self.event(name)
            case Not(part):
                return self._table(2, [self._condition(part)], lambda a: 1 - a)
            case All(parts):
                node = self._constant(True)
                for part in parts:
                    node = self._table(2, [node, self._condition(part)], lambda a, b: int(a and b))
                return node
            case Any(parts):
                node = self._constant(False)
                for part in parts:
                    node = self._table(2, [node, self._condition(part)], lambda a, b: int(a or b))
                return node

    def _count_causes(self) -> None:
        count = self._constant(False, states=self.order + 2)
        most = self.order + 1
        for name in self.causes:
            count = self._table(self.order + 2, [count, self.event(name)], lambda c, v: min(most, c + v))
        self.allowed = self._table(2, [count], lambda c: int(1 <= c <= self.order))

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


def ask(network: Network, answers: Mapping[str, Sequence[float]]) -> Oracle:
    """Let the package infer, with `answers` as weights on the findings of checks (virtual evidence)."""
    settings = network.library.settings
    findings = {check: network.finding(network.library.checks[check]) for check in answers}  # type: ignore[index]
    engine = gum.LazyPropagation(network.net)
    engine.setEvidence({network.top: 1, network.allowed: 1})
    before = engine.evidenceProbability()
    weights = {node: list(answers[check]) for check, node in findings.items()}
    engine.setEvidence({network.top: 1, network.allowed: 1, **weights})
    listed = (1.0 - settings.unlisted_share) * engine.evidenceProbability() / before
    quiet, loud = 1.0 - settings.unlisted_open, settings.unlisted_open
    for check, given in answers.items():
        known = network.library.checks[check]  # type: ignore[index]
        quiet *= _chance_of_nothing_wrong(network, known, given)
        loud *= sum(given) / len(given)
    unlisted = settings.unlisted_share * (quiet + loud)
    share = listed / (listed + unlisted)
    causes = {name: share * float(engine.posterior(network.event(name))[1]) for name in network.causes}
    return Oracle(causes, 1.0 - share)


def _chance_of_nothing_wrong(network: Network, check: Check, weights: Sequence[float]) -> float:
    """The chance of an answer when nothing listed is wrong."""
    true = _without_causes(network)
    line = next(one for one in check.lines if _holds(one.when, true))
    return sum(
        weight * line.chances.get(one.id, 0.0) for weight, one in zip(weights, check.findings, strict=True)
    )


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
