"""`kickover rank`: ranked causes and the next step from findings given at once, no questions asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from kickover.api import Loaded, Walk
from kickover.cli.completing import given_option, machine_option, names_of
from kickover.cli.context import FiniteRange, json_option, library_option, open_library, print_json
from kickover.core.ids import CheckId
from kickover.core.problem import KickoverError
from kickover.inference.repair_effect import Change
from kickover.inference.truncation import truncation_error
from kickover.model.library import Library
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
@machine_option
@click.option(
    "--saw",
    shell_complete=names_of("checks"),
    multiple=True,
    metavar="CHECK=FINDING",
    help="A finding, `~guess` or `~fairly` and `@EVENT` may follow; or what was seen, in plain words.",
)
@click.option(
    "--done",
    shell_complete=names_of("repairs"),
    multiple=True,
    metavar="REPAIR",
    help="A repair that was made and did not help; `=better`, `=same`, `=worse`, `=cured` may follow.",
)
@given_option
@click.option(
    "--kit",
    shell_complete=names_of("kits"),
    help="Tools and spares at hand: a kit of the library, or a file of one.",
)
@click.option(
    "--top", type=click.IntRange(min=1), default=10, show_default=True, help="How many causes to show."
)
@click.option("--give-up", type=FiniteRange(min=0), help="What giving up costs, in minutes.")
@click.option(
    "--order", type=click.IntRange(1, 3), help="How many causes may meet; the library's own number else."
)
@library_option
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
    library: Path | None,
    as_json: bool,
) -> int:
    """Rank the likely causes of COMPLAINT (several joined by commas) and name the next step."""
    loaded = open_library(library)
    complaints = [part.strip() for part in complaint.split(",")]
    walk = loaded.walk(complaints, loaded.machine(machine), given, kit, give_up, order)
    for one in saw:
        check, finding, state = (
            parted(one) if "=" in one or one in walk.session.model.checks else _seen(walk, one)
        )
        walk.record(check, finding, state)
    for repair in done:
        name, outcome = _proof_told(repair)
        walk.session = walk.session.record(Repaired(name)).record(outcome)
    if as_json:
        print_json(_data(loaded, walk, complaint, top))
    else:
        _print(walk.session.library, walk, top)
    return 0 if walk.session.belief.fits else 1


def _seen(walk: Walk, words: str) -> tuple[str, str, str]:
    """The one finding that plain words mean, told on standard error; SawError when it is not clear."""
    found = signs(words, tuple(walk.session.model.checks.values()))
    if not found:
        raise SawError(f"{words!r} fits no finding; write CHECK=FINDING, for example plug-look=dry")
    names = [f"{sign.check.id}={sign.finding.id}" for sign in found]
    if len(found) > 1 and found[1].score > _CLEARLY * found[0].score:
        raise SawError(f"{words!r} may be one of these: {', '.join(names)}; give the one that is meant")
    click.echo(f"{words!r} is taken as {names[0]}: {found[0].finding.title}", err=True)
    return found[0].check.id, found[0].finding.id, ""


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


def parted(saw: str) -> tuple[str, str, str]:
    """Part `CHECK=FINDING~sureness@EVENT` into check, finding with sureness, and event."""
    check, mark, rest = saw.partition("=")
    if not mark or not check.strip() or not rest.strip():
        raise SawError(f"{saw!r} does not read as CHECK=FINDING; write for example plug-look=dry")
    finding, _, state = rest.partition("@")
    return check.strip(), finding.strip(), state.strip()


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
            {
                "id": ranked.cause,
                "title": session.library.title_of(ranked.cause),
                "probability": ranked.probability,
            }
            for ranked in walk.ranking()[:top]
        ],
        "hypotheses": [
            {"causes": list(causes), "probability": probability}
            for causes, probability in session.belief.sets()
        ],
        "unlisted": session.belief.unlisted,
        "left_out": truncation_error(session.library, session.model.hypotheses),
        "next": {
            "kind": step.kind.value,
            "id": step.id,
            "minutes": step.step_cost.minutes,
            "why": why(session, planned),
            "first": [
                preparation.setup or preparation.wait_for for preparation in step.step_cost.preparations
            ],
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


def _print(library: Library, walk: Walk, top: int) -> None:
    belief = walk.session.belief
    for changes in changes_in_words(library):
        click.echo(changes)
    if not belief.fits:
        click.echo("None of the library's causes fits these findings well: make the doubtful ones again.")
    for number, ranked in enumerate(walk.ranking()[:top], start=1):
        click.echo(
            f"{number:3}. {percent(ranked.probability):>6}  {library.title_of(ranked.cause)} ({ranked.cause})"
        )
    click.echo(f"     {percent(belief.unlisted):>6}  something that is not in the library")
    click.echo(f"     {_left_out(walk)}")
    planned = walk.session.plan()
    step = planned.next
    spent = minutes_in_words(step.step_cost.minutes)
    click.echo(f"\nNext: {step_title(library, step)} ({step.kind.value} {step.id}), {spent}")
    for preparation in step.step_cost.preparations:
        click.echo(f"  before it: {preparation_title(library, preparation)}")
    click.echo(
        f"  because it {why(walk.session, planned)}"
        if step.kind != "give-up"
        else f"  because {why(walk.session, planned)}"
    )
