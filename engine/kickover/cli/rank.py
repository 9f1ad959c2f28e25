"""`kickover rank`: ranked causes and the next step from findings given at once, no questions asked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from kickover.api import Loaded, Walk
from kickover.cli import options
from kickover.cli.completing import names_of
from kickover.cli.context import open_library
from kickover.cli.output import answer, json_option, json_wanted
from kickover.core.ids import CheckId
from kickover.core.problem import KickoverError
from kickover.inference.repair_effect import Change
from kickover.inference.truncation import truncation_error
from kickover.session.entries import Answered, Measured, Proved, Repaired
from kickover.session.own_words import signs
from kickover.session.wording import (
    changes_in_words,
    minutes_in_words,
    percent,
    preparation_title,
    step_title,
    why,
)

_CLEARLY = 0.9
"""Words name a finding when the next one fits less than this share as well."""


class SawError(KickoverError):
    """A `--saw` that does not read CHECK=FINDING."""


CURED = "cured"
STAYED = frozenset({Change.BETTER, Change.SAME, Change.WORSE})
"""What may be told of the complaint after a repair that did not end it."""


@click.command()
@click.argument("complaint", shell_complete=names_of("complaints"))
@options.machine(required=True)
@options.saw
@options.name(
    "--done",
    "repairs",
    "A repair that was made and did not help; `=better`, `=same`, `=worse`, `=cured` may follow.",
    multiple=True,
)
@options.given
@options.kit()
@click.option("--top", type=click.IntRange(min=1), default=10, help="How many causes to show.")
@options.give_up
@click.option(
    "--order", type=click.IntRange(1, 3), help="How many causes may meet; the library's own number else."
)
@options.library
@json_option
def rank(
    complaint: str,
    machine: str,
    saw: tuple[str, ...],
    done: tuple[str, ...],
    given: tuple[str, ...],
    kit: str | None,
    top: int,
    give_up: float | None,
    order: int | None,
) -> int:
    """Rank the likely causes of COMPLAINT (several joined by commas) and name the next step."""
    loaded = open_library()
    complaints = [part.strip() for part in complaint.split(",")]
    walk = loaded.walk(complaints, loaded.machine(machine), given, kit, give_up, order)
    for one in saw:
        record_sign(walk, one)
    for repair in done:
        name, outcome = _proof_told(repair)
        walk.session = walk.session.record(Repaired(name)).record(outcome)
    answer(_data(loaded, walk, complaint, top) if json_wanted() else None, _lines(walk, top))
    return 0 if walk.session.belief.fits else 1


def record_sign(walk: Walk, said: str) -> None:
    """Record a `--saw`: CHECK=FINDING~sureness@EVENT, or the one finding that plain words mean.

    What the words are taken for is told on standard error. Raises SawError when it is not clear.
    """
    check, mark, rest = (part.strip() for part in said.partition("="))
    if mark or said in walk.session.model.checks:
        if not check or not rest:
            raise SawError(f"{said!r} does not read as CHECK=FINDING; write for example plug-look=dry")
        finding, _, state = rest.partition("@")
        walk.record(check, finding.strip(), state.strip())
        return
    found = signs(said, tuple(walk.session.model.checks.values()))
    if not found:
        raise SawError(f"{said!r} fits no finding; write CHECK=FINDING, for example plug-look=dry")
    names = [f"{sign.check.id}={sign.finding.id}" for sign in found]
    if len(found) > 1 and found[1].score > _CLEARLY * found[0].score:
        raise SawError(f"{said!r} may be one of these: {', '.join(names)}; give the one that is meant")
    click.echo(f"{said!r} is taken as {names[0]}: {found[0].finding.title}", err=True)
    walk.record(found[0].check.id, found[0].finding.id)


def _proof_told(done: str) -> tuple[str, Proved]:
    """Part `REPAIR=outcome` into the repair and its proof."""
    repair, mark, outcome = (part.strip() for part in done.partition("="))
    if not mark:
        return repair, Proved(gone=False)
    if outcome == CURED:
        return repair, Proved(gone=True)
    if outcome not in STAYED:
        raise SawError(f"{done!r} does not read as REPAIR=OUTCOME; it may be better, same, worse or cured")
    return repair, Proved(False, Change(outcome))


def _data(loaded: Loaded, walk: Walk, complaint: str, top: int) -> dict[str, Any]:
    session = walk.session
    planned = session.plan()
    step = planned.next
    return {
        "machine": session.model.machine.id,
        "complaint": complaint,
        "evidence": [
            _evidence(walk, entry) for entry in session.entries if isinstance(entry, Answered | Measured)
        ],
        "causes": [
            {"id": one.cause, "title": session.library.title_of(one.cause), "probability": one.probability}
            for one in walk.ranking()[:top]
        ],
        "hypotheses": [
            {"causes": list(causes), "probability": share} for causes, share in session.belief.sets()
        ],
        "unlisted": session.belief.unlisted,
        "left_out": truncation_error(session.library, session.model.hypotheses),
        "next": {
            "kind": step.kind.value,
            "id": step.id,
            "minutes": step.step_cost.minutes,
            "why": why(session, planned),
            "first": [before.setup or before.wait_for for before in step.step_cost.preparations],
            "expected_minutes": step.expected,
        },
        "model_version": loaded.library.version,
    }


def _evidence(walk: Walk, entry: Answered | Measured) -> dict[str, Any]:
    check = walk.session.model.checks[CheckId(entry.check)]
    weights = walk.session.weights_of(entry)
    place = max(range(len(weights)), key=weights.__getitem__)
    return {"check": check.id, "finding": check.findings[place].id, "weight": weights[place]}


def _left_out(walk: Walk) -> str:
    hypotheses = walk.session.model.hypotheses
    together = ("one cause", "two causes together", "three causes together")[hypotheses.members.shape[1] - 1]
    share = truncation_error(walk.session.library, hypotheses) * 100
    return f"Counted with at most {together}; more meet in {share:.1g}\u00a0% of such complaints."


def _lines(walk: Walk, top: int) -> Iterator[str]:
    belief, library = walk.session.belief, walk.session.library
    yield from changes_in_words(library)
    if not belief.fits:
        yield "None of the library's causes fits these findings well: make the doubtful ones again."
    for number, one in enumerate(walk.ranking()[:top], start=1):
        yield f"{number:3}. {percent(one.probability):>6}  {library.title_of(one.cause)} ({one.cause})"
    yield f"     {percent(belief.unlisted):>6}  something that is not in the library"
    yield f"     {_left_out(walk)}"
    planned = walk.session.plan()
    step = planned.next
    spent = minutes_in_words(step.step_cost.minutes)
    yield f"\nNext: {step_title(library, step)} ({step.kind.value} {step.id}), {spent}"
    for preparation in step.step_cost.preparations:
        yield f"  before it: {preparation_title(library, preparation)}"
    yield f"  because {'' if step.kind == 'give-up' else 'it '}{why(walk.session, planned)}"
