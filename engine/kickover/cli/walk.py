"""`kickover walk`: the guided walk, from a complaint to a repair that is proven."""

from __future__ import annotations

import sys
from contextlib import ExitStack
from datetime import datetime
from secrets import token_hex

import click

from kickover.api import Loaded
from kickover.cli import options
from kickover.cli.completing import complaint_or_walk
from kickover.cli.context import kept, now, open_library, walks_folder
from kickover.cli.fronts import Front, front_for
from kickover.cli.machine import MachineFileError, save_machine
from kickover.cli.saved import line_of, named, opened_for, records
from kickover.core.ids import EventId
from kickover.session.interpreting import refusal
from kickover.session.journal import Heading, Journal, JournalError, Record, reopen, start
from kickover.session.restoring import profile_of, restored
from kickover.session.session import Phase, Session, begin
from kickover.session.wording import changes_in_words
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import JournaledDialogue
from kickover.ui.json_front import JsonFront
from kickover.ui.setup import SetupState, Start, with_machine
from kickover.ui.setup_screens import SetupWizard, handle_wizard_input


@click.command()
@click.argument("complaint", shell_complete=complaint_or_walk, nargs=-1)
@options.machine()
@options.kit()
@options.given
@options.give_up
@click.option("--resume", is_flag=True, help="Go on with a walk that was left, or list the open ones.")
@options.plain
@click.option("--json-lines", is_flag=True,
              help='A question is a line of JSON, an answer a line {"answer": "1"}.')  # fmt: skip
@click.option(
    "--one-key/--enter",
    default=True,
    show_default=True,
    envvar="KICKOVER_ONE_KEY",
    help="A digit answers at once where there are less than ten choices, or only with Enter.",
)
@options.library
def walk(
    complaint: tuple[str, ...],
    machine: str | None,
    kit: str | None,
    given: tuple[str, ...],
    give_up: float | None,
    resume: bool,
    plain: bool,
    json_lines: bool,
    one_key: bool,
) -> int:
    """Find the cause step by step.

    COMPLAINT is what is wrong: ids joined by commas, or your own words. With --resume it is the name of a
    saved walk.
    """
    front = JsonFront(sys.stdin, sys.stdout) if json_lines else front_for(plain, one_key)
    if resume:
        return _resume(front, " ".join(complaint))
    loaded = open_library()
    setup_state = _known(loaded, " ".join(complaint), machine, kit, given)
    wizard, finished = front.converse(SetupWizard(setup_state), handle_wizard_input)
    if not finished or wizard.now.left:
        front.say("Left before the walk began; nothing to save.")
        _end(front, "", "")
        return 0
    if give_up is None and kit is not None:
        give_up = loaded.giving_up(kit)
    return _new(loaded, front, wizard.now.start(), give_up)


def _known(
    loaded: Loaded, complaint: str, machine: str | None, kit: str | None, given: tuple[str, ...]
) -> SetupState:
    """Setting out with what the command line already says."""
    if refused := refusal(complaint):
        raise click.UsageError(refused)
    library = loaded.library
    names = [part.strip() for part in complaint.split(",")]
    ids = tuple(EventId(name) for name in names if name in library.complaints)
    named_all = bool(complaint) and len(ids) == len(names)
    setup_state = SetupState(
        library,
        own=loaded.own_machines,
        said="" if named_all else complaint,
        complaints=ids if named_all else (),
        given=frozenset(loaded.house(one) for one in given) if given or named_all else None,
        kit=kit or ("everything" if named_all and machine else None),
        items=loaded.items(kit),
    )
    return with_machine(setup_state, loaded.machine(machine)) if machine else setup_state


def _new(loaded: Loaded, front: Front, begun: Start, give_up: float | None) -> int:
    machine = begun.machine
    if begun.fresh:
        try:
            front.say(save_machine(machine, loaded.library))
        except MachineFileError as error:
            front.say(f"Note: {error}")
    if give_up is None and begun.kit in loaded.library.kits:
        give_up = loaded.giving_up(begun.kit)
    library = kept("library")
    session = begin(loaded.library, machine, begun.complaints, begun.given, begun.items, give_up)
    heading = Heading(
        walk=f"{datetime.now().astimezone():%Y%m%d-%H%M%S}-{begun.complaints[0]}-{token_hex(2)}",
        started=now(),
        library=loaded.library.title,
        version=loaded.library.version,
        machine=machine.id,
        complaints=begun.complaints,
        given=tuple(sorted(begun.given)),
        kit=begun.kit,
        items=None if begun.items is None else tuple(sorted(begun.items)),
        give_up=give_up,
        profile=None if loaded.library.machines.get(machine.id) == machine else profile_of(machine),
        folder="" if library is None else str(library.absolute()),
        overlays=tuple(str(overlay.absolute()) for overlay in kept("overlay")),
    )
    with ExitStack() as stack:
        journal, trouble = None, ""
        try:
            journal = stack.enter_context(start(walks_folder(), heading, now))
        except JournalError as error:
            trouble = str(error)
        told = [f"NOT SAVED: {trouble}. The walk goes on without."] if trouble else []
        message = " ".join([*told, *changes_in_words(loaded.library)])
        return _converse(
            front, Dialogue(session, message=message), JournaledDialogue(journal, (), trouble), journal
        )


def _resume(front: Front, name: str) -> int:
    record = _chosen(front, name)
    if record is None:
        return 1
    loaded = opened_for(record)
    with reopen(record.path, now) as (journal, latest):
        walk = restored(latest, loaded.library)
        for note in walk.notes:
            front.say(f"Note: {note}")
        saving = JournaledDialogue(journal, tuple(stamped.entry for stamped in latest.entries))
        saving.keep(walk.session.entries)
        changed = changes_in_words(loaded.library)
        told = " ".join([f"Resumed with {len(walk.session.entries)} answers.", *walk.notes, *changed])
        return _converse(front, Dialogue(walk.session, message=told), saving, journal)


def _chosen(front: Front, name: str) -> Record | None:
    """The walk of that name or number in the list of open ones, latest first; without either, the only one.

    Where there are none or several, what there is is printed.
    """
    found, troubles = records(walks_folder())
    still_open = [one for one in found if not one.closed]
    if name.isdecimal() and len(name) < 4 and 1 <= int(name) <= len(still_open):
        return still_open[int(name) - 1]
    if name:
        return named(walks_folder(), name)
    for trouble in troubles:
        front.say(f"Note: {trouble}")
    if len(still_open) == 1:
        return still_open[0]
    several = "Several walks are open; give a number: kickover walk 1 --resume"
    front.say(several if still_open else "There is no open walk.")
    for number, one in enumerate(still_open, start=1):
        front.say(f"  {number}  {line_of(one)}")
    return None


def _converse(front: Front, dialogue: Dialogue, saving: JournaledDialogue, journal: Journal | None) -> int:
    """Talk until the end, then say how it ended and where it is kept."""
    last = dialogue.session

    def hear(before: Dialogue, text: str) -> Dialogue:
        nonlocal last
        after = saving.hear(before, text)
        last = after.session
        return after

    front.converse(dialogue, hear)
    code = _parting(front, last, saving, journal)
    _end(front, _outcome(last), journal.path.stem if journal and not saving.trouble else "")
    return code


ENDINGS = {Phase.MENDED: "Cured", Phase.FOUND: "Found, not yet mended", Phase.GIVEN_UP: "Stopped"}


def _parting(front: Front, session: Session, saving: JournaledDialogue, journal: Journal | None) -> int:
    phase, outcome = session.task().phase, _outcome(session)
    if outcome:
        saving.close(outcome)
    if saving.trouble or journal is None:
        front.say(f"NOT SAVED: {saving.trouble}")
        return 0 if outcome == "mended" else 1
    name = journal.path.stem
    if not outcome:
        front.say(f"Saved. Go on with: kickover walk {name} --resume")
        return 0
    front.say(f"{ENDINGS[phase]}. The walk is kept as {name}.")
    front.say(f"For a report: kickover report {name} -o report.pdf")
    return 0 if outcome == "mended" else 1


def _outcome(session: Session) -> str:
    phase = session.task().phase
    return phase.value if phase in ENDINGS else ""


def _end(front: Front, outcome: str, name: str) -> None:
    """Tell a program how the walk stands; people are told in words."""
    if isinstance(front, JsonFront):
        front.end(outcome, name)
