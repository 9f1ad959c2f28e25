"""Reviews of safety: cautions that are missing, and steps that must be blocked while a danger is there.

The rules are simple and sound rather than clever. A rule about a hazard is off in a library that does not
define that hazard.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kickover.authoring.validate.context import ValidationContext, at, listed_ids
from kickover.authoring.validate.work import steps_of
from kickover.core.problem import Problem, SourcePlace
from kickover.model.library import CheckKind, Library, Needs

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
    place: SourcePlace
    trail: tuple[str, str]
    needs: Needs
    said: str
    tries: bool


def check_spark_steps(subject: ValidationContext) -> Iterator[Problem]:
    """Steps that make sparks, and are not blocked while fuel vapour is about.

    These are tries and measurements with the hazard high voltage, and whatever else has it and turns the
    engine over.
    """
    library = subject.library
    burning = [setup.id for setup in library.setups.values() if setup.danger and FIRE in setup.needs.hazards]
    for step in _worded(library):
        open_to = [danger for danger in burning if danger not in step.needs.not_during]
        if SPARK in step.needs.hazards and open_to and (step.tries or _CRANKING.search(step.said)):
            message = f"`{step.trail[1]}` makes sparks and is not blocked by {listed_ids(open_to)}"
            hint = f"add `not_during: [{', '.join(open_to)}]`"
            yield at(step.place, message, hint, *step.trail, "not_during")


def check_leaving_steps(subject: ValidationContext) -> Iterator[Problem]:
    """Steps that bring about a danger without its caution."""
    library = subject.library
    for place, trail, needs in steps_of(library):
        for danger in needs.leaves:
            wanted = library.setups[danger].needs.hazards if danger in library.setups else ()
            if wanted and not set(wanted) & set(needs.hazards):
                message = f"`{trail[1]}` leaves `{danger}` and names no hazard of it"
                yield at(place, message, f"add `{wanted[0]}` to its `hazards:`", *trail, "leaves", danger)
    for setup in library.setups.values():
        if setup.danger and not setup.needs.hazards:
            message = f"the danger `{setup.id}` names no hazard"
            yield at(setup.place, message, "add `hazards: [...]`", "dangers", setup.id)


def check_cautions(subject: ValidationContext) -> Iterator[Problem]:
    """Steps whose words speak of something dangerous, and whose hazards do not."""
    library = subject.library
    rules = [rule for rule in _RULES if any(hazard in library.hazards for hazard in rule.hazards)]
    for step in _worded(library):
        for rule in rules:
            if rule.needs and rule.needs not in step.needs.setups:
                continue
            if rule.words.search(step.said) and not set(rule.hazards) & set(step.needs.hazards):
                message = f"`{step.trail[1]}` {rule.what} and names no hazard for it"
                yield at(step.place, message, f"add {_either(rule.hazards)} to its `hazards:`", *step.trail)
        if (
            step.needs.spot == "exhaust"
            and "hot-parts" in library.hazards
            and "hot-parts" not in step.needs.hazards
        ):
            message = f"`{step.trail[1]}` is done at the exhaust and does not name `hot-parts`"
            yield at(step.place, message, "add `hot-parts` to its `hazards:`", *step.trail)


def check_implied(subject: ValidationContext) -> Iterator[Problem]:
    """Steps without any hazard, where every other step with the same tool or at the same spot names one."""
    library = subject.library
    alike: dict[str, list[tuple[str, frozenset[str]]]] = defaultdict(list)
    for step in _worded(library):
        for way in _ways(library, step.needs):
            alike[way].append((step.trail[1], frozenset(step.needs.hazards)))
    for step in _worded(library):
        if step.needs.hazards:
            continue
        for way in _ways(library, step.needs):
            others = [hazards for id_, hazards in alike[way] if id_ != step.trail[1]]
            implied = sorted(frozenset.intersection(*others)) if len(others) >= LEAST_ALIKE else []
            if implied:
                hazard = f"`{implied[0]}`"
                message = f"`{step.trail[1]}` names no hazard, and every other step {way} names {hazard}"
                yield at(step.place, message, f"add {hazard} to its `hazards:`", *step.trail)
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
            yield at(check.place, message, hint, "checks", check.id)
    for complaint in library.complaints.values():
        trail = ("complaints", complaint.id, "proof")
        proof = complaint.proof
        if ROAD in proof.hazards and LOOKED_OVER not in proof.needs:
            message = f"the proof of `{complaint.id}` is a ride, and the brakes are not looked over first"
            yield at(complaint.gate.place, message, hint, *trail)
        if not proof.hazards and library.hazards:
            message = f"the proof of `{complaint.id}` names no hazard"
            yield at(complaint.gate.place, message, "add `hazards: [...]`: an engine is started", *trail)


def _worded(library: Library) -> Iterator[_Step]:
    for check in library.checks.values():
        if check.kind is not CheckKind.QUESTION:
            tries = check.kind is not CheckKind.LOOK
            yield _Step(
                check.place, ("checks", check.id), check.needs, " ".join((check.ask, *check.how)), tries
            )
    for repair in library.repairs.values():
        yield _Step(repair.place, ("repairs", repair.id), repair.needs, " ".join(repair.how), tries=False)


def _either(hazards: Sequence[str]) -> str:
    return " or ".join(f"`{hazard}`" for hazard in hazards)
