"""`kickover walk`: the guided walk, from a complaint to a repair that is proven."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from secrets import token_hex

import click
import platformdirs

from kickover.api import Loaded, load
from kickover.cli.options import library_option
from kickover.ids import ItemId
from kickover.problem import KickoverError
from kickover.walk.dialogue import Dialogue, heard
from kickover.walk.journal import Heading, Journal, Record, journals, read, reopen, start
from kickover.walk.plain import PlainFront
from kickover.walk.session import Phase, Session, begin
from kickover.walk.set_out import SetOut, Start, set_out_heard
from kickover.walk.terminal import TerminalFront

Front = PlainFront | TerminalFront


@click.command()
@click.argument("complaint", required=False)
@click.option("--machine", help="A machine of the library, or a file of one.")
@click.option("--kit", help="Tools and spares at hand: a kit of the library, or a file of one.")
@click.option("--given", multiple=True, metavar="EVENT", help="Something that is true of the situation.")
@click.option("--give-up", type=click.FloatRange(min=0), help="What giving up costs, in minutes.")
@click.option(
    "--resume", is_flag=True, help="Go on with a walk that was left; WALK names it where there are several."
)
@click.option("--plain", is_flag=True, help="Plain lines: no colour, no cursor movement.")
@library_option
def walk(
    complaint: str | None,
    machine: str | None,
    kit: str | None,
    given: tuple[str, ...],
    give_up: float | None,
    resume: bool,
    plain: bool,
    library: Path | None,
) -> int:
    """Find the cause step by step.

    COMPLAINT may be several, joined by commas; with --resume it is the name of a saved walk.
    """
    loaded = load(library)
    front = _front(plain)
    if resume:
        return _resume(loaded, front, complaint)
    set_out = _known(loaded, complaint, machine, kit, given)
    if set_out.complaints and set_out.machine and set_out.kit is None:
        set_out = replace(set_out, kit="everything")
    set_out, finished = front.converse(set_out, set_out_heard)
    if not finished or set_out.left:
        front.say("Left before the walk began; nothing to save.")
        return 0
    return _new(loaded, front, set_out.start(), machine, give_up)


def walks_folder() -> Path:
    """Where journals are kept: KICKOVER_HOME, or the user's state folder."""
    home = os.environ.get("KICKOVER_HOME")
    return (Path(home) if home else Path(platformdirs.user_state_dir("kickover"))) / "walks"


def now() -> str:
    """The present moment, local time with its offset, to the second."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def _front(plain: bool) -> Front:
    if plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        return PlainFront(sys.stdin, sys.stdout)
    return TerminalFront(colour="NO_COLOR" not in os.environ)


def _known(
    loaded: Loaded, complaint: str | None, machine: str | None, kit: str | None, given: tuple[str, ...]
) -> SetOut:
    """Setting out with what the command line already says."""
    complaints = tuple(loaded.complaint(one) for one in complaint.split(",")) if complaint else ()
    return SetOut(
        loaded.library,
        machine=loaded.machine(machine) if machine else None,
        complaints=complaints,
        given=frozenset(loaded.house(one) for one in given) if given or complaints else None,
        kit=kit,
        items=loaded.items(kit),
    )


def _new(loaded: Loaded, front: Front, begun: Start, machine: str | None, give_up: float | None) -> int:
    session = begin(loaded.library, begun.machine, begun.complaints, begun.given, begun.items, give_up)
    heading = Heading(
        walk=f"{datetime.now().astimezone():%Y%m%d-%H%M%S}-{begun.complaints[0]}-{token_hex(2)}",
        started=now(),
        library=loaded.library.title,
        version=loaded.library.version,
        machine=str(Path(machine).absolute())
        if machine and machine.endswith((".yaml", ".yml"))
        else begun.machine.id,
        complaints=begun.complaints,
        given=tuple(sorted(begun.given)),
        kit=begun.kit,
        items=None if begun.items is None else tuple(sorted(begun.items)),
        give_up=give_up,
    )
    with start(walks_folder(), heading, now) as journal:
        return _converse(front, Dialogue(session), journal)


def _resume(loaded: Loaded, front: Front, name: str | None) -> int:
    record = _chosen(front, name)
    if record is None:
        return 1
    heading = record.heading
    loaded_walk = loaded.walk(heading.complaints, heading.machine, heading.given, None, heading.give_up)
    session = loaded_walk.session
    if heading.items is not None:
        session = replace(
            session, job=replace(session.job, kit=frozenset(ItemId(item) for item in heading.items))
        )
    if record.damage:
        front.say(f"Note: {record.damage}.")
    if heading.version != loaded.library.version:
        front.say("Note: the library has changed since this walk began; the answers are weighed anew.")
    for stamped in record.entries:
        try:
            session = session.record(stamped.entry)
        except KickoverError as error:
            front.say(f"Note: {error}; that answer is left out.")
    with reopen(record.path, now) as journal:
        return _converse(
            front, Dialogue(session, message=f"Resumed with {len(session.entries)} answers."), journal
        )


def _chosen(front: Front, name: str | None) -> Record | None:
    """The open walk to go on with: the one named, or the only one; else their list is printed."""
    open_walks = [record for record in map(read, journals(walks_folder())) if not record.closed]
    wanted = [record for record in open_walks if name is None or name in record.heading.walk]
    if len(wanted) == 1 or (wanted and name is None and len(open_walks) == 1):
        return wanted[0]
    if not wanted:
        front.say("There is no open walk" + (f" called {name!r}." if name else "."))
        return None
    front.say("Several walks are open; name one: kickover walk WALK --resume")
    for record in wanted:
        front.say(f"  {record.heading.walk}  ({record.heading.machine}, {len(record.entries)} answers)")
    return None


def _converse(front: Front, dialogue: Dialogue, journal: Journal) -> int:
    """Talk until the end; every change is on disk before the next question is shown."""

    def hear(before: Dialogue, text: str) -> Dialogue:
        after = heard(before, text)
        keep(journal, before.session, after.session)
        return after

    dialogue, _ = front.converse(dialogue, hear)
    return _parting(front, dialogue, journal)


def keep(journal: Journal, before: Session, after: Session) -> None:
    """Write to the journal what changed between two moments of a walk."""
    same = 0
    for old, new in zip(before.entries, after.entries, strict=False):
        if old is not new:
            break
        same += 1
    for _ in range(len(before.entries) - same):
        journal.write_back()
    for entry in after.entries[same:]:
        journal.write(entry)


def _parting(front: Front, dialogue: Dialogue, journal: Journal) -> int:
    session = dialogue.session
    phase = session.task().phase
    if phase is Phase.MENDED:
        journal.write_closed("mended")
        front.say(f"Cured. The walk is kept as {journal.path.stem}.")
        return 0
    if phase is Phase.GIVEN_UP:
        journal.write_closed("given-up")
        front.say(f"Stopped. The walk is kept as {journal.path.stem}.")
        return 1
    front.say(f"Saved. Go on with: kickover walk {journal.path.stem} --resume")
    return 0
