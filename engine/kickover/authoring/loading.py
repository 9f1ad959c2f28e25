"""From a folder of authored files to a library and everything that is wrong with it.

Runs the stages in order: files, YAML, form, values, meaning. No stage raises for what an author wrote;
each reports, leaves out what it cannot use, and the rest goes on.
"""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

from kickover.authoring.entity_decoder import EntityDecoder
from kickover.authoring.files import content_version
from kickover.authoring.form import MOST_OF_ENTRY, check_form
from kickover.authoring.located import line_of, words_in
from kickover.authoring.overlays import Entries, laid_over
from kickover.authoring.sections import SECTIONS, Entry, Heading, entries_in, singled
from kickover.authoring.source import Document, read_folder, read_overlay
from kickover.authoring.validate.reviews import review
from kickover.core.ids import ID_PATTERN, EventId
from kickover.core.problem import LibraryError, Problem, SourcePlace
from kickover.model.authored import authored_fields, bare
from kickover.model.job_rules import with_job_rules
from kickover.model.library import Cause, Gate, Input, Library, Settings

MOST_PROBLEMS = 50
"""How many problems of one file are told."""


def load_library(
    folder: Path, *, overlays: Sequence[Path] = ()
) -> tuple[Library | None, tuple[Problem, ...]]:
    """Load a library and review it; give it with all problems, sorted by file and line.

    `overlays` are files or folders laid over the first in their order; they may change rates and error rates
    only. The library holds what could be read, and is None when nothing could.
    """
    folders = (folder, *overlays)
    read = [read_folder(folder), *(read_overlay(overlay) for overlay in overlays)]
    documents = [document for found, _ in read for document in found]
    problems = [problem for _, wrong in read for problem in wrong]
    problems += [problem for document in documents for problem in document.problems]
    own, problems_of_own, spare = _layer(read[0][0])
    problems += problems_of_own
    kept, laid = own, {}
    for path, (found, _) in zip(overlays, read[1:], strict=True):
        single, wrong, twice = _layer(found)
        kept, laid[str(path)] = laid_over(own, kept, single, path)
        problems += wrong
        spare += [*twice, *(entry for entry in single.values() if entry.problems)]
    problems += (problem for entry in spare for problem in entry.problems)
    if not kept:
        return None, _in_order(problems)
    sound: dict[str, list[Entry]] = defaultdict(list)
    form = _Form()
    for entry in kept.values():
        form(entry)
        if not entry.problems:
            sound[entry.section.key].append(entry)
    library = _library(sound, _hash_of(folders))
    left_out = [entry for entry in kept.values() if entry.problems]
    problems += (problem for entry in left_out for problem in entry.problems)
    problems += _heading_missing(kept, folder)
    problems += _meaning(library, documents, _spoken_of(documents, [*spare, *left_out], problems))
    return replace(library, laid_over=laid), _in_order(problems)


def _layer(documents: Iterable[Document]) -> tuple[Entries, list[Problem], list[Entry]]:
    """The entries of one layer, what cannot be read as one, and those that are there twice."""
    found = [entries_in(document) for document in documents]
    kept, spare = singled([entry for entries, _ in found for entry in entries])
    return kept, [problem for _, wrong in found for problem in wrong], spare


def load_or_raise(folder: Path, *, overlays: Sequence[Path] = ()) -> Library:
    """Load a library that is without problems. Raises `LibraryError` with all of them when it is not."""
    library, problems = load_library(folder, overlays=overlays)
    if problems or library is None:
        raise LibraryError(problems)
    return library


def _joined(gates: Mapping[EventId, Gate], causes: Iterable[Cause]) -> dict[EventId, Gate]:
    """The gates with the causes that say by themselves under which of them they stand."""
    joined = dict(gates)
    for cause in causes:
        for name in cause.under:
            gate = joined.get(name)
            if gate is not None and gate.needed == 1:
                joined[name] = replace(gate, inputs=(*gate.inputs, Input(cause.id)))
    return joined


def _library(sound: Mapping[str, list[Entry]], content: str) -> Library:
    """Build each field of the library out of the sections that hold entities of its type.

    `content` is the hash of what was read; it is added to the version that the library gives itself.
    """
    heading, settings = Heading("", "0"), Settings()
    for entry in sound["library"]:
        heading = EntityDecoder(entry).read(Heading, entry.data)
    for entry in sound["settings"]:
        settings = EntityDecoder(entry).read(Settings, entry.data)
    values: dict[str, Any] = {}
    for field in authored_fields(Library):
        entity = get_args(bare(field.hint))[-1] if get_args(bare(field.hint)) else None
        if entity is not None:
            values[field.name] = here = {}
            holding = [section.key for section in SECTIONS.values() if section.entity is entity]
            for entry in (entry for key in holding for entry in sound[key]):
                decoder = EntityDecoder(entry, settings=settings, items=values.get("items", {}))
                value = decoder.read(entity, entry.data)
                if not entry.problems:
                    here[entry.id] = value
    values["gates"] = _joined(values["gates"], values["causes"].values())
    for name in ("checks", "repairs"):
        values[name] = with_job_rules(values[name], values["setups"])
    return Library(
        title=heading.title,
        version=f"{heading.version}+{content[:12]}",
        settings=settings,
        **values,
    )


def _in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Sort problems, leaving out those that read the same in the same place (by way of an alias).

    Of a file with very many problems the first `MOST_PROBLEMS` are told, and how many more there are.
    """
    each = {str(problem): problem for problem in sorted(problems, reverse=True)}
    by_file: dict[str, list[Problem]] = defaultdict(list)
    for problem in reversed(each.values()):
        by_file[problem.place.file].append(problem)
    told: list[Problem] = []
    for file, found in by_file.items():
        told += found[:MOST_PROBLEMS]
        if rest := found[MOST_PROBLEMS:]:
            message = f"and {len(rest)} more problems in this file"
            told.append(
                Problem(SourcePlace(file, rest[0].place.line), "", message, "mend those before first")
            )
    return tuple(told)


def _hash_of(folders: Iterable[Path]) -> str:
    return hashlib.sha256("\n".join(content_version(folder) for folder in folders).encode()).hexdigest()


class _Form:
    """Checks the form of entries, and explains less the more is wrong in a file."""

    def __init__(self) -> None:
        self._explained: Counter[str] = Counter()

    def __call__(self, entry: Entry) -> None:
        check_form(entry, min(MOST_OF_ENTRY, MOST_PROBLEMS - self._explained[entry.file]))
        self._explained[entry.file] += len(entry.problems)


def _heading_missing(kept: dict[tuple[str, str], Entry], folder: Path) -> Iterator[Problem]:
    if ("library", "") not in kept:
        hint = 'add `library: {title: ..., version: "1.0"}` to one of its files'
        yield Problem(SourcePlace(str(folder), 1), "library", "the library has no heading", hint)


def _meaning(library: Library, documents: Iterable[Document], spoken_of: Set[str]) -> Iterator[Problem]:
    """Review the library, and find the exact line of each problem by following its trail."""
    data = {document.file: document.data for document in documents}
    for problem in review(library, spoken_of):
        line = line_of(data.get(problem.place.file), problem.path.split("/"), problem.place.line)
        yield replace(problem, place=SourcePlace(problem.place.file, max(line, problem.place.line)))


def _spoken_of(
    documents: Iterable[Document], left_out: Iterable[Entry], problems: Iterable[Problem]
) -> frozenset[str]:
    """The ids that are named in whatever could not be read, or was left out."""
    named: set[str] = set()
    for document in documents:
        named.update(document.lost)
        if document.data is None:
            named.update(ID_PATTERN.findall(document.text))
    for entry in left_out:
        named.add(entry.id)
        named.update(words_in(entry.data))
    for problem in problems:
        named.update(problem.path.lower().replace("_", "-").split("/"))
    return frozenset(named)
