"""A file of a person's own, one machine or one kit, judged against a library; and a machine as such text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from kickover.authoring.entity_decoder import EntityDecoder
from kickover.authoring.files import read_bytes
from kickover.authoring.form import check_form
from kickover.authoring.located import line_of
from kickover.authoring.sections import SECTIONS, Entry, entries_in
from kickover.authoring.source import Document, read_document, yaml_text
from kickover.authoring.validate.context import ValidationContext
from kickover.authoring.validate.measurement import (
    check_agreement,
    check_exclusive_traits,
    check_figures,
    check_readings,
)
from kickover.authoring.validate.names import check_names
from kickover.core.problem import LibraryError, Problem, SourcePlace
from kickover.model.library import Figure, Kit, Library, Machine
from kickover.model.limits import LimitError, figure_of
from kickover.units import Quantity, show


def load_machine(path: Path, library: Library) -> Machine:
    """Load a machine from a file of its own. Raises `LibraryError` with every problem of it."""
    return _or_raise(read_machine(path, library))


def load_kit(path: Path, library: Library) -> Kit:
    """Load a kit from a file of its own. Raises `LibraryError` with every problem of it."""
    return _or_raise(read_kit(path, library))


def read_machine(path: Path, library: Library) -> tuple[Machine | None, tuple[Problem, ...]]:
    """Read a machine from a file of its own; None when it has problems, which are given beside it.

    Its traits and figures must be known to the library, and every limit must have a number on it.
    """
    entry, problems = _only_entry(path, "machine")
    if entry is None:
        return None, problems
    made = EntityDecoder(entry).read(Machine, entry.data)
    problems = _problems_of(entry, replace(library, machines={made.id: made}))
    return (None, problems) if problems else (made, ())


def read_kit(path: Path, library: Library) -> tuple[Kit | None, tuple[Problem, ...]]:
    """Read a kit from a file of its own; None when it has problems, which are given beside it."""
    entry, problems = _only_entry(path, "kit")
    if entry is None:
        return None, problems
    made = EntityDecoder(entry, items=library.items).read(Kit, entry.data)
    problems = _problems_of(entry, replace(library, kits={made.id: made}, machines={}))
    return (None, problems) if problems else (made, ())


Made = TypeVar("Made", Machine, Kit)


def _or_raise(read: tuple[Made | None, tuple[Problem, ...]]) -> Made:
    made, problems = read
    if made is None:
        raise LibraryError(problems)
    return made


def _only_entry(path: Path, section: str) -> tuple[Entry | None, tuple[Problem, ...]]:
    """Give the one entry that the file must hold, in good form, or what is wrong."""
    raw = read_bytes(path)
    if isinstance(raw, Problem):
        return None, (raw,)
    document = read_document(raw, str(path))
    entries, problems = entries_in(document)
    problems += [*document.problems, *_not_alone(document, section)]
    if problems:
        return None, tuple(sorted(problems))
    entry = entries[0]
    check_form(entry)
    return (None, tuple(sorted(entry.problems))) if entry.problems else (entry, ())


def _not_alone(document: Document, section: str) -> Iterator[Problem]:
    if document.data is None:
        return
    if section not in document.data:
        message, hint = f"the file holds no {section}", f"write it under `{section}:`"
        yield Problem(SourcePlace(document.file, 1), section, message, hint)
    for key in document.data:
        if key != section and key in SECTIONS:
            place = SourcePlace(document.file, document.data.lines[key])
            yield Problem(
                place, key, f"a file with a {section} of your own holds that only", f"move `{key}:` elsewhere"
            )


def _problems_of(entry: Entry, library: Library) -> tuple[Problem, ...]:
    """What is wrong with the entry in the light of the library that holds what was made of it."""
    subject = ValidationContext(library, frozenset())
    found = list(entry.problems)
    for problem in (*check_names(subject), *check_figures(subject), *check_exclusive_traits(subject)):
        if problem.place.file == entry.file:
            line = line_of(entry.data, problem.path.split("/")[1:], entry.line)
            found.append(replace(problem, place=SourcePlace(entry.file, line)))
    if not found and library.machines:
        more = (*check_agreement(subject), *check_readings(subject))
        found += (replace(problem, place=entry.place()) for problem in more)
    return tuple(sorted(found))


def machine_text(machine: Machine, library: Library) -> str:
    """Give the YAML text of a machine's own file; figures that it does not state follow as comments."""
    figures = {str(name): str(value) for name, value in machine.figures.items()}
    data: dict[str, object] = {"id": machine.id, "title": machine.title}
    data |= {"about": machine.about} if machine.about else {}
    data |= {"invented": True} if machine.invented else {}
    data |= {"traits": sorted(machine.traits), "figures": figures}
    text = yaml_text({"machine": data})
    assumed = [f"  #   {figure.id}: {value}\n" for figure, value in assumed_figures(machine, library)]
    return "".join([text, *(["  # Not stated, so assumed:\n"] if assumed else []), *assumed])


def assumed_figures(machine: Machine, library: Library) -> Iterator[tuple[Figure, Quantity]]:
    """Give each figure that the machine does not state, with the value that is assumed for it."""
    for id_, figure in library.figures.items():
        if id_ not in machine.figures:
            try:
                yield figure, figure_of(library, machine, id_)
            except LimitError:
                continue


def assumed_in_words(figure: Figure, value: Quantity) -> str:
    """Say which value is assumed for a figure."""
    return f"{figure.title}: {show(value)}"
