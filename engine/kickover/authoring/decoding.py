"""Entries to a library: every entry that is sound becomes a value, the others are left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from kickover.authoring import decode_entities as build_rest
from kickover.authoring import decode_entities as build_upkeep
from kickover.authoring import decode_events as build_events
from kickover.authoring.decode_checks import check
from kickover.authoring.entry_values import text
from kickover.authoring.sections import Entry
from kickover.core.ids import (
    CheckId,
    EventId,
    FigureId,
    HazardId,
    ItemId,
    KitId,
    LessonId,
    MachineId,
    RepairId,
    ServiceId,
    SetupId,
    SourceId,
    TraitId,
)
from kickover.core.problem import Problem
from kickover.model.job_rules import with_job_rules
from kickover.model.library import Library

Id = TypeVar("Id", bound=str)
Built = TypeVar("Built")


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
    sections = _Sections()
    for entry in entries:
        check_form(entry)
        sections.add(entry)
    library = _library(sections, content)
    left_out = tuple(entry for entry in sections.all if entry.problems)
    return DecodedLibrary(
        library, tuple(problem for entry in left_out for problem in entry.problems), left_out
    )


class _Sections:
    """Entries by section, handed out as values; whatever turns out unsound on the way is dropped."""

    def __init__(self) -> None:
        self.all: list[Entry] = []
        self._sound: dict[str, list[Entry]] = {}

    def add(self, entry: Entry) -> None:
        self.all.append(entry)
        if not entry.problems:
            self._sound.setdefault(entry.section.key, []).append(entry)

    def single(self, key: str) -> Entry | None:
        return next(iter(self._sound.get(key, ())), None)

    def built(
        self, as_id: Callable[[str], Id], make: Callable[[Entry], Built], *keys: str
    ) -> Mapping[Id, Built]:
        values: dict[Id, Built] = {}
        for key in keys:
            for entry in self._sound.get(key, ()):
                value = make(entry)
                if not entry.problems:
                    values[as_id(entry.id)] = value
        return values


def _library(sections: _Sections, content: str) -> Library:
    heading, settings = sections.single("library"), sections.single("settings")
    numbers = build_rest.settings(settings)
    setups = sections.built(SetupId, build_rest.setup, "setups", "dangers")
    items = sections.built(ItemId, build_rest.item, "tools", "spares")
    own_version = text(heading.data, "version") if heading else "0"
    return Library(
        title=text(heading.data, "title") if heading else "",
        version=f"{own_version}+{content[:12]}",
        settings=numbers,
        complaints=sections.built(EventId, build_events.complaint, "complaints"),
        gates=sections.built(EventId, build_events.gate, "events"),
        causes=sections.built(EventId, lambda entry: build_events.cause(entry, numbers.rates), "causes"),
        houses=sections.built(EventId, build_events.house, "situation"),
        checks=with_job_rules(sections.built(CheckId, check, "checks"), setups),
        repairs=with_job_rules(sections.built(RepairId, build_rest.repair, "repairs"), setups),
        setups=setups,
        hazards=sections.built(HazardId, build_rest.hazard, "hazards"),
        sources=sections.built(SourceId, build_rest.source, "sources"),
        items=items,
        figures=sections.built(FigureId, build_rest.figure, "figures"),
        traits=sections.built(TraitId, build_rest.trait, "traits"),
        machines=sections.built(MachineId, build_rest.machine, "machine"),
        kits=sections.built(KitId, lambda entry: build_rest.kit(entry, items), "kit"),
        trees=sections.built(str, build_rest.tree, "trees"),
        lessons=sections.built(LessonId, build_upkeep.lesson, "lessons"),
        services=sections.built(ServiceId, build_upkeep.service, "service"),
        expert_orders=sections.built(EventId, build_upkeep.expert_order, "expert-orders"),
    )
