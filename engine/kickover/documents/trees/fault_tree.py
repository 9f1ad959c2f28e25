"""Draws a fault tree with the marks of IEC 61025: a pure function from a library to DOT text.

Black on white; nothing is told by colour. Events that several gates share are drawn once. It reads
left to right, so that the many leaves of a tree stand under each other and stay readable.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches

from kickover.core.ids import EventId
from kickover.core.problem import KickoverError
from kickover.documents.trees.branches import Branches, TreeError, branches_of, page_of, reach
from kickover.documents.trees.symbols import TreeDrawing
from kickover.model.library import Library, Machine


class UnknownTreeError(KickoverError):
    """A name that is neither a tree nor an event of the library."""


@dataclass(frozen=True, slots=True)
class TreeSelection:
    """What a picture is of: a named tree, a complaint, or any event."""

    name: str
    title: str
    about: str
    tops: tuple[EventId, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawn tree: its DOT text, and the events that it points at and leaves to pictures of their own.

    The DOT names the library's version without the mark of its exact content, so that a picture changes
    only when what is in it does.
    """

    subject: TreeSelection
    dot: str
    transfers: tuple[EventId, ...]


def find_subject(library: Library, name: str, named_tree: bool = True) -> TreeSelection:
    """The tree, complaint or event called `name`. Raises UnknownNameError with the nearest names.

    A named tree comes before an event of the same name, unless `named_tree` is false.
    """
    if named_tree and name in library.trees:
        tree = library.trees[name]
        return TreeSelection(name, tree.title, tree.about, tree.tops)
    event = EventId(name)
    gate = library.gate(event)
    if gate is not None:
        return TreeSelection(name, gate.title, gate.about, (event,))
    if event in library.causes:
        return TreeSelection(name, library.causes[event].title, library.causes[event].about, (event,))
    if event in library.houses:
        return TreeSelection(name, library.houses[event].title, "", (event,))
    known = [*library.trees, *library.complaints, *library.gates, *library.causes, *library.houses]
    near = get_close_matches(name, known, n=3, cutoff=0.5)
    hint = f"did you mean {' or '.join(near)}?" if near else f"trees are {', '.join(library.trees) or 'none'}"
    raise UnknownTreeError(f"{name!r}: there is no tree or event of that name; {hint}")


def draw_tree(
    library: Library, name: str, machine: Machine | None = None, *, named_tree: bool = True
) -> Picture:
    """Draw the tree, complaint or event called `name`, without what `machine` cannot have.

    Raises UnknownNameError for a name that is not there, TreeError for a loop or for a tree of which
    the machine can have nothing.
    """
    subject = find_subject(library, name, named_tree)
    branches = branches_of(library, subject.tops, machine)
    if machine and branches.impossible >= set(subject.tops):
        raise TreeError(f"{name!r}: {machine.title} cannot have this; draw it without --machine")
    page = page_of(branches, subject.tops, _other_rooms(library, subject, branches))
    drawing = TreeDrawing(library, branches, page, heading_of(library, subject, machine))
    for event in page.events:
        drawing.add_event(event)
    for event in page.events:
        if event in library.complaints and event in subject.tops:
            drawing.add_implied(event, library.complaints[event].implies)
    drawing.add_legend()
    return Picture(subject, drawing.dot, tuple(event for event in page.events if event in page.transfers))


def _other_rooms(library: Library, subject: TreeSelection, branches: Branches) -> frozenset[EventId]:
    """Tops of the named trees to which no event of `subject` belongs."""
    others: set[EventId] = set()
    for tree in library.trees.values():
        under = reach(branches_of(library, tree.tops, None), tree.tops, frozenset())
        if tree.id == subject.name or set(subject.tops) & set(under):
            continue
        others.update(top for top in tree.tops if branches.is_gate(top))
    return frozenset(others)


def heading_of(library: Library, subject: TreeSelection, machine: Machine | None) -> tuple[str, ...]:
    """The lines above a drawn tree: its title first."""
    machines = f"for: {machine.title}" if machine else "for every machine"
    above = [
        gate.id
        for gate in (*(complaint.gate for complaint in library.complaints.values()), *library.gates.values())
        if any(input_.event == subject.name for input_ in gate.inputs)
    ]
    lines = [f"Fault tree: {subject.title}"]
    if subject.about:
        lines.append(subject.about)
    version = library.version.partition("+")[0]
    lines.append(f"{subject.name} · {machines} · {library.title}, version {version}{library.changes}")
    if above:
        lines.append(f"Leads up to: {', '.join(above)}")
    return tuple(lines)
