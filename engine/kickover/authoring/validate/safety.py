"""Reviews of safety: cautions that are missing, and steps that must be blocked while a danger is there.

The rules are simple and sound rather than clever. A rule about a hazard is off in a library that does not
define that hazard.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kickover.authoring.validate.context import ValidationContext, listed_ids, wrong
from kickover.authoring.validate.work import steps_of
from kickover.core.problem import Problem
from kickover.model.library import Check, CheckKind, Library, Needs, Repair

FIRE = "fuel-vapour-fire"
SPARK = "high-voltage"
ROAD = "road"
LEAST_ALIKE = 3
"""So many other steps must agree on a hazard before a step without any is doubted."""

LOOKED_OVER = "brakes-looked-over"


@dataclass(frozen=True, slots=True)
class _Rule:
    """Steps whose words match `words` must name at least one of `hazards`."""

    what: str
    words: re.Pattern[str]
    hazards: tuple[str, ...]
    needs: str = ""


def _rule(what: str, words: str, *hazards: str) -> _Rule:
    return _Rule(what, re.compile(words, re.IGNORECASE), hazards)


_CRANKING = re.compile(r"\b(?:crank|kick it|turn (?:it|the engine) over|spin)", re.IGNORECASE)
_RULES = (
    _Rule(
        "turns the engine over with the plug out",
        _CRANKING,
        (FIRE, SPARK, "unexpected-start", "moving-parts"),
        needs="plug-out",
    ),
    _rule("looks for a spark", r"\bspark (?:jumps?|snaps?)|\bdoes (?:a|it) spark\b", SPARK),
    _rule("uses compressed air", r"\bcompressed air\b|\bair ?line\b", "pressure"),
    _rule("uses a cleaner", r"\b(?:carburettor|brake|contact) cleaner\b|\bsolvent\b", "chemicals"),
)


@dataclass(frozen=True, slots=True)
class _Step:
    step: Check | Repair
    said: str
    tries: bool


def check_spark_steps(subject: ValidationContext) -> Iterator[Problem]:
    """Steps that make sparks, and are not blocked while fuel vapour is about.

    These are tries and measurements with the hazard high voltage, and whatever else has it and turns the
    engine over.
    """
    library = subject.library
    burning = [setup.id for setup in library.setups.values() if setup.danger and FIRE in setup.needs.hazards]
    for worded in _worded(library):
        open_to = [danger for danger in burning if danger not in worded.step.needs.not_during]
        if SPARK in worded.step.needs.hazards and open_to and (worded.tries or _CRANKING.search(worded.said)):
            message = f"`{worded.step.id}` makes sparks and is not blocked by {listed_ids(open_to)}"
            hint = f"add `not_during: [{', '.join(open_to)}]`"
            yield wrong(worded.step, message, hint, "not_during")


def check_leaving_steps(subject: ValidationContext) -> Iterator[Problem]:
    """Steps that bring about a danger without its caution."""
    library = subject.library
    for step in steps_of(library):
        for danger in step.needs.leaves:
            wanted = library.setups[danger].needs.hazards if danger in library.setups else ()
            if wanted and not set(wanted) & set(step.needs.hazards):
                message = f"`{step.id}` leaves `{danger}` and names no hazard of it"
                yield wrong(step, message, f"add `{wanted[0]}` to its `hazards:`", "leaves", danger)
    for setup in library.setups.values():
        if setup.danger and not setup.needs.hazards:
            message = f"the danger `{setup.id}` names no hazard"
            yield wrong(setup, message, "add `hazards: [...]`")


def check_cautions(subject: ValidationContext) -> Iterator[Problem]:
    """Steps whose words speak of something dangerous, and whose hazards do not."""
    library = subject.library
    rules = [rule for rule in _RULES if any(hazard in library.hazards for hazard in rule.hazards)]
    for worded in _worded(library):
        for rule in rules:
            if rule.needs and rule.needs not in worded.step.needs.setups:
                continue
            if rule.words.search(worded.said) and not set(rule.hazards) & set(worded.step.needs.hazards):
                message = f"`{worded.step.id}` {rule.what} and names no hazard for it"
                yield wrong(worded.step, message, f"add {_either(rule.hazards)} to its `hazards:`")
        if (
            worded.step.needs.spot == "exhaust"
            and "hot-parts" in library.hazards
            and "hot-parts" not in worded.step.needs.hazards
        ):
            message = f"`{worded.step.id}` is done at the exhaust and does not name `hot-parts`"
            yield wrong(worded.step, message, "add `hot-parts` to its `hazards:`")


def check_implied(subject: ValidationContext) -> Iterator[Problem]:
    """Steps without any hazard, where every other step with the same tool or at the same spot names one."""
    library = subject.library
    alike: dict[str, list[tuple[str, frozenset[str]]]] = defaultdict(list)
    for worded in _worded(library):
        for way in _ways(library, worded.step.needs):
            alike[way].append((worded.step.id, frozenset(worded.step.needs.hazards)))
    for worded in _worded(library):
        if worded.step.needs.hazards:
            continue
        for way in _ways(library, worded.step.needs):
            others = [hazards for id_, hazards in alike[way] if id_ != worded.step.id]
            implied = sorted(frozenset.intersection(*others)) if len(others) >= LEAST_ALIKE else []
            if implied:
                hazard = f"`{implied[0]}`"
                message = f"`{worded.step.id}` names no hazard, and every other step {way} names {hazard}"
                yield wrong(worded.step, message, f"add {hazard} to its `hazards:`")
                break


def _ways(library: Library, needs: Needs) -> Iterator[str]:
    """With which tools and where a step is done, in words."""
    yield from (f"with `{tool}`" for tool in needs.tools if tool in library.items)
    if needs.spot:
        yield f"at `{needs.spot}`"


def check_road(subject: ValidationContext) -> Iterator[Problem]:
    """Rides for a check or a proof before brakes and fasteners have been looked over."""
    library = subject.library
    if LOOKED_OVER not in library.setups:
        return
    hint = f"add `needs: [{LOOKED_OVER}]`"
    for check in library.checks.values():
        if ROAD in check.needs.hazards and LOOKED_OVER not in check.needs.setups:
            message = f"`{check.id}` is a ride, and the brakes are not looked over first"
            yield wrong(check, message, hint)
    for complaint in library.complaints.values():
        proof = complaint.proof
        if ROAD in proof.hazards and LOOKED_OVER not in proof.needs:
            message = f"the proof of `{complaint.id}` is a ride, and the brakes are not looked over first"
            yield wrong(complaint, message, hint, "proof")
        if not proof.hazards and library.hazards:
            message = f"the proof of `{complaint.id}` names no hazard"
            yield wrong(complaint, message, "add `hazards: [...]`: an engine is started", "proof")


def _worded(library: Library) -> Iterator[_Step]:
    for check in library.checks.values():
        if check.kind is not CheckKind.QUESTION:
            yield _Step(check, " ".join((check.ask, *check.how)), tries=check.kind is not CheckKind.LOOK)
    for repair in library.repairs.values():
        yield _Step(repair, " ".join(repair.how), tries=False)


def _either(hazards: Sequence[str]) -> str:
    return " or ".join(f"`{hazard}`" for hazard in hazards)


REVIEWS = (check_spark_steps, check_leaving_steps, check_cautions, check_implied, check_road)
