"""The sections that a file may hold, and the entries found in them.

An entry is one authored thing with its place and the problems found with it so far. This module sorts
data into entries and sees to it that one id names one thing; what an entry says is read by others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from kickover.authoring.located import Step, Table, line_of, spoken
from kickover.authoring.source import Document
from kickover.core.ids import is_id
from kickover.core.near_names import nearest
from kickover.core.problem import Problem, SourcePlace
from kickover.model import library as model
from kickover.model.authored import authored_fields


@dataclass(frozen=True, slots=True)
class Section:
    """A section: its key, its entity, and the namespace in which their ids are single.

    `alone` marks a section that is one entry in itself (`machine:`), not a mapping of many; `without` names
    the keys of the entity that mean nothing here.
    """

    key: str
    entity: type
    namespace: str
    alone: bool = False
    without: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """How a library calls itself."""

    title: str
    version: str


_SETUPS_ONLY = "figures undo put_back undo_minutes shows stops_running spoils_spark shown_at"
_DURING_A_JOB = "undone leaves clears not_during only_when spot shown_at"

SECTIONS = {
    section.key: section
    for section in (
        Section("library", Heading, "library", alone=True),
        Section("settings", model.Settings, "settings", alone=True),
        Section("trees", model.Tree, "trees"),
        Section("complaints", model.Complaint, "events"),
        Section("events", model.Gate, "events"),
        Section("causes", model.Cause, "events"),
        Section("situation", model.HouseEvent, "events"),
        Section("checks", model.Check, "checks"),
        Section("repairs", model.Repair, "repairs"),
        Section("setups", model.Setup, "setups"),
        Section("dangers", model.Setup, "setups", without=_SETUPS_ONLY),
        Section("hazards", model.Hazard, "hazards"),
        Section("sources", model.Source, "sources"),
        Section("tools", model.Item, "items"),
        Section("spares", model.Item, "items"),
        Section("traits", model.Trait, "traits"),
        Section("figures", model.Figure, "figures"),
        Section("machine", model.Machine, "machines", alone=True),
        Section("kit", model.Kit, "kits", alone=True),
        Section("lessons", model.Lesson, "lessons"),
        Section("service", model.Service, "service", without=_DURING_A_JOB),
        Section("brings", model.SecondaryFaults, "brings"),
        Section("drawings", model.Drawing, "drawings"),
        Section("symbols", model.DrawnSymbol, "symbols"),
        Section("expert-orders", model.ExpertOrder, "expert-orders"),
    )
}


class Authored(Protocol):
    """An entity that a section holds."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def place(self) -> SourcePlace:
        """Where it is written."""


def trail_to(entity: Authored) -> tuple[str, ...]:
    """The keys that lead to an entity; where sections share a kind of entity, a flag tells in which it is."""
    kind = type(entity)
    flags = {field.section: getattr(entity, field.name) for field in authored_fields(kind) if field.section}
    section = next(
        section
        for section in SECTIONS.values()
        if section.entity is kind and flags.get(section.key, not any(flags.values()))
    )
    return (section.key,) if section.alone else (section.key, entity.id)


MOST_GUESSES = 50
"""For how many unknown sections of a file the nearest known one is looked up, which takes time."""


@dataclass(slots=True)
class Entry:
    """One authored thing: its section, its id, its data, and what is wrong with it."""

    section: Section
    id: str
    data: Table
    file: str
    line: int
    problems: list[Problem] = field(default_factory=list)

    @property
    def trail(self) -> str:
        """The keys that lead to the entry from the top of its file."""
        return self.section.key if self.section.alone else f"{self.section.key}/{self.id}"

    @property
    def title(self) -> str:
        """How the entry is called in a message."""
        return f"`{self.id}`" if self.id else f"`{self.section.key}:`"

    def place(self, *steps: Step) -> SourcePlace:
        """Where the value is to which `steps` lead inside the entry."""
        return SourcePlace(self.file, line_of(self.data, steps, self.line) if steps else self.line)

    def report(self, steps: Sequence[Step], message: str, hint: str) -> None:
        """Note a problem at `steps` inside the entry."""
        inside = spoken(self.data, steps)
        path = f"{self.trail}/{inside}" if inside else self.trail
        self.problems.append(Problem(self.place(*steps), path, message, hint))


def entries_in(document: Document) -> tuple[list[Entry], list[Problem]]:
    """Sort the data of one file into entries; problems are sections and ids that cannot be read."""
    entries: list[Entry] = []
    problems: list[Problem] = []
    if document.data is None:
        return entries, problems
    for key, content in document.data.items():
        place = SourcePlace(document.file, document.data.lines[key])
        section = SECTIONS.get(key)
        if section is None:
            near = nearest(key, SECTIONS) if len(problems) < MOST_GUESSES else ""
            hint = f"did you mean `{near}:`?" if near else f"the sections are {', '.join(SECTIONS)}"
            problems.append(Problem(place, key, f"there is no section `{key}`", hint))
        elif not isinstance(content, Table):
            what = "is empty" if content is None else "is no mapping"
            hint = (
                "write its keys below it, indented"
                if content is not None
                else "write entries below it, or delete it"
            )
            problems.append(Problem(place, key, f"the section `{key}` {what}", hint))
        elif section.alone:
            name = content.get("id")
            entries.append(
                Entry(section, name if isinstance(name, str) else "", content, place.file, place.line)
            )
        else:
            _entries_of(section, content, document.file, entries, problems)
    return entries, problems


def _entries_of(
    section: Section, content: Table, file: str, entries: list[Entry], problems: list[Problem]
) -> None:
    for name, data in content.items():
        place = SourcePlace(file, content.lines[name])
        path = f"{section.key}/{name}"
        if not is_id(name):
            problems.append(
                Problem(
                    place,
                    path,
                    f"`{name}` is no id",
                    "write lower-case words joined by hyphens, such as `plug-out`",
                )
            )
        elif not isinstance(data, Table):
            problems.append(
                Problem(
                    place, path, f"`{name}` has no keys", "write `title: ...` and so on below it, indented"
                )
            )
        else:
            entries.append(Entry(section, name, data, file, place.line))


def singled(layer: Sequence[Entry]) -> tuple[dict[tuple[str, str], Entry], list[Entry]]:
    """Give each entry of a layer once, by namespace and id, and those that are left out.

    An id may name one thing only: a second one is given the problem, and is left out.
    """
    kept: dict[tuple[str, str], Entry] = {}
    spare: list[Entry] = []
    for entry in layer:
        key = entry.section.namespace, entry.id if entry.section.key not in ("library", "settings") else ""
        if (first := kept.setdefault(key, entry)) is not entry:
            other = f"{first.file}:{first.line}"
            message = f"{entry.title} is in {other} already (under `{first.section.key}`)"
            entry.report([], message, "keep one of them, or give one another name")
            spare.append(entry)
    return kept, spare
