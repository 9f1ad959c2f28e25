"""Entries to a library: every entry that is sound becomes a value, the others are left out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any as AnyValue
from typing import get_args

from kickover.authoring.entity_decoder import EntityDecoder
from kickover.authoring.entry_values import text
from kickover.authoring.sections import SECTIONS, Entry
from kickover.core.ids import EventId
from kickover.core.problem import Problem
from kickover.model.authored import authored_fields
from kickover.model.events import Cause, Gate, Input
from kickover.model.job_rules import with_job_rules
from kickover.model.library import Library, Settings


@dataclass(frozen=True, slots=True)
class DecodedLibrary:
    """The library as far as it could be built, the problems met, and the entries that were left out."""

    library: Library
    problems: tuple[Problem, ...]
    left_out: tuple[Entry, ...]


def build(entries: Iterable[Entry], content: str, check_form: Callable[[Entry], None]) -> DecodedLibrary:
    """Build a library of `entries`, first putting each through `check_form`.

    `content` is the hash of what was read; it is added to the version that the library gives itself.
    """
    every = list(entries)
    sound: dict[str, list[Entry]] = defaultdict(list)
    for entry in every:
        check_form(entry)
        if not entry.problems:
            sound[entry.section.key].append(entry)
    library = _library(sound, content)
    left_out = tuple(entry for entry in every if entry.problems)
    return DecodedLibrary(
        library, tuple(problem for entry in left_out for problem in entry.problems), left_out
    )


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
    """Build each field of the library out of the sections that hold entities of its type."""
    heading = next(iter(sound["library"]), None)
    settings = Settings()
    for entry in sound["settings"]:
        settings = EntityDecoder(entry).read(Settings, entry.data)
    values: dict[str, AnyValue] = {}
    for field in authored_fields(Library):
        entity = get_args(field.hint)[-1] if get_args(field.hint) else None
        if entity is not None:
            values[field.name] = here = {}
            for entry in (
                one for section in SECTIONS.values() if section.entity is entity for one in sound[section.key]
            ):
                decoder = EntityDecoder(entry, settings=settings, items=values.get("items", {}))
                value = decoder.read(entity, entry.data)
                if not entry.problems:
                    here[entry.id] = value
    values["gates"] = _joined(values["gates"], values["causes"].values())
    for name in ("checks", "repairs"):
        values[name] = with_job_rules(values[name], values["setups"])
    own_version = text(heading.data, "version") if heading else "0"
    return Library(
        title=text(heading.data, "title") if heading else "",
        version=f"{own_version}+{content[:12]}",
        settings=settings,
        **values,
    )
