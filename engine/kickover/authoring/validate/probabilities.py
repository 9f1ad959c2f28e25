"""Reviews of numbers that are probabilities or rates, and of the lines that hold them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import islice

from kickover.authoring.validate.context import ValidationContext, listed_ids, mend_name, wrong
from kickover.core.ids import EventId
from kickover.core.problem import Problem
from kickover.model.library import ALWAYS, All, Any, Check, Condition, Is, Line, names_in

MOST_RATE = 1000.0
MOST_FACTOR = 1000.0
_SUM_ERROR = 1e-6
_EASY = 200
"""How many names or events are looked at to see whether one condition carries another."""


def check_rates(subject: ValidationContext) -> Iterator[Problem]:
    """Rates and factors outside of what can be meant."""
    for cause in subject.library.causes.values():
        if not 0 < cause.rate <= MOST_RATE:
            hint = f"write a rate word, or a number above 0, up to {MOST_RATE:g}"
            yield wrong(cause, f"the rate of `{cause.id}` is {cause.rate:g}", hint, "rate")
        for house, factor in cause.factors.items():
            if not 1 / MOST_FACTOR <= factor <= MOST_FACTOR:
                message = f"the factor of `{house}` on `{cause.id}` is {factor:g}"
                hint = f"write a factor from {1 / MOST_FACTOR:g} to {MOST_FACTOR:g}"
                yield wrong(cause, message, hint, "factors", house)


def check_chances(subject: ValidationContext) -> Iterator[Problem]:
    """Lines of a check whose chances are unknown, missing, certain, or do not sum to 1."""
    for check in subject.library.checks.values():
        names = [finding.id for finding in check.findings]
        for line in check.lines:
            yield from _line_problems(check, line, names)
        if is_yes_or_no(check):
            yield from _pointing_problems(check)


def is_yes_or_no(check: Check) -> bool:
    """Tell whether the check was written with a miss and a false alarm."""
    return [finding.id for finding in check.findings] == ["yes", "no"] and len(check.lines) == 2


def _line_problems(check: Check, line: Line, names: Sequence[str]) -> Iterator[Problem]:
    missing = [name for name in names if name not in line.chances]
    for name in line.chances:
        if name not in names:
            message = f"`{check.id}` has no finding `{name}`"
            yield wrong(
                check,
                message,
                mend_name(name, names, f"its findings are {', '.join(names)}"),
                place=line.place,
            )
            return
    if missing:
        message = f"`{check.id}` gives no chance to {listed_ids(missing)} here"
        yield wrong(check, message, "give each finding a chance, however small", place=line.place)
        return
    for name, chance in line.chances.items():
        if not 0 < chance < 1:
            message = f"the chance of `{name}` in `{check.id}` is {chance:g}, and nothing is that sure"
            yield wrong(check, message, "write a chance from 0.01 to 0.99", place=line.place)
            return
    total = math.fsum(line.chances.values())
    if abs(total - 1) > _SUM_ERROR:
        message = f"the chances of `{check.id}` come to {total:.6g} here"
        yield wrong(check, message, "make them come to 1", place=line.place)


def _pointing_problems(check: Check) -> Iterator[Problem]:
    so, not_so = check.lines
    abnormal = next(iter(so.chances))
    if so.chances[abnormal] <= not_so.chances.get(abnormal, 0.0):
        message = (
            f"`{check.id}` answers `{abnormal}` no oftener when what it observes is so than when it is not"
        )
        yield wrong(check, message, "turn `abnormal:` round, or mend `miss:` and `false_alarm:`")


def check_lines(subject: ValidationContext) -> Iterator[Problem]:
    """Lines that can never be the first that holds, and checks whose last line may not hold either."""
    certain = _Certain(subject)
    for check in subject.library.checks.values():
        earlier: list[Condition] = []
        for line in check.lines:
            if _is_easy(line.when) and any(certain.implies(line.when, before) for before in earlier):
                message = (
                    f"this line of `{check.id}` is never reached: a line before it holds whenever it does"
                )
                yield wrong(check, message, "move it up, or delete it", place=line.place)
            if _is_easy(line.when):
                earlier.append(line.when)
        if check.lines and check.lines[-1].when != ALWAYS:
            message = f"the last line of `{check.id}` has a `when`, so that at times no line holds"
            yield wrong(check, message, "add a last line without `when`", place=check.lines[-1].place)


def _is_easy(condition: Condition) -> bool:
    return next(islice(names_in(condition), _EASY, None), None) is None


class _Certain:
    """What is plain about conditions: one holds whenever another does."""

    def __init__(self, subject: ValidationContext) -> None:
        self._structure = subject.structure
        self._above: dict[str, frozenset[str]] = {}

    def implies(self, first: Condition, other: Condition) -> bool:
        """Tell whether it is easily seen that `other` holds whenever `first` does."""
        if first == other or other == ALWAYS:
            return True
        match first, other:
            case Any(parts), _ if parts:
                return all(self.implies(part, other) for part in parts)
            case _, All(parts):
                return all(self.implies(first, part) for part in parts)
            case _, Any(parts) if any(self.implies(first, part) for part in parts):
                return True
            case All(parts), _:
                return any(self.implies(part, other) for part in parts)
            case Is(name), Is(above):
                return above in self._carried_to(name)
        return False

    def _carried_to(self, event: str) -> frozenset[str]:
        """The events that are true whenever `event` is, on every machine: up through plain or gates."""
        if event not in self._above:
            seen: set[str] = set()
            waiting = [event]
            while waiting and len(seen) < _EASY:
                below = EventId(waiting.pop())
                for parent in self._structure.parents.get(below, ()):
                    gate = self._structure.gates[parent]
                    plain = gate.needed == 1 and gate.only_if == ALWAYS and parent not in seen
                    if plain and any(line.chance == 1 and line.event == below for line in gate.inputs):
                        seen.add(parent)
                        waiting.append(parent)
            self._above[event] = frozenset(seen)
        return self._above[event]


REVIEWS = (check_rates, check_chances, check_lines)
