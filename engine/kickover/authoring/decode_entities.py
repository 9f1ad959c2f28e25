"""Entries to everything around events and checks: repairs, setups, words of safety, items, machines."""

from __future__ import annotations

from collections.abc import Collection

from kickover.authoring.entry_values import condition, needs, number, quantity, sources, text, texts, unit
from kickover.authoring.located import inner, listed, tables
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
from kickover.model.library import (
    ExpertOrder,
    Figure,
    Hazard,
    Item,
    Kit,
    Lesson,
    Machine,
    Repair,
    Service,
    Settings,
    Setup,
    Source,
    SourceKind,
    Trait,
    Tree,
)
from kickover.units import Quantity


def settings(entry: Entry | None) -> Settings:
    """Give the settings, with the model's own values for what is not written."""
    usual = Settings()
    if entry is None:
        return usual
    data, rates = entry.data, inner(entry.data, "rates")
    made = Settings(
        order=int(number(data, "order", usual.order)),
        two_cause_share=number(data, "two_cause_share", usual.two_cause_share),
        unlisted_share=number(data, "unlisted_share", usual.unlisted_share),
        unlisted_open=number(data, "unlisted_open", usual.unlisted_open),
        give_up_minutes=number(data, "give_up_minutes", usual.give_up_minutes),
        spot_minutes=number(data, "spot_minutes", usual.spot_minutes),
        comfort_minutes=number(data, "comfort_minutes", usual.comfort_minutes),
        rates={word: number(rates, word) for word in rates},
    )
    if made.two_cause_share + made.unlisted_share >= 1:
        message = "two_cause_share and unlisted_share leave nothing for a single cause"
        entry.report(["two_cause_share"], message, "write smaller shares")
    return made


def repair(entry: Entry) -> Repair:
    """Give a repair."""
    return Repair(
        id=RepairId(entry.id),
        title=text(entry.data, "title"),
        roadside=bool(entry.data["roadside"]),
        cures=tuple(EventId(one) for one in texts(entry.data, "cures")),
        how=texts(entry.data, "how"),
        torque=text(entry.data, "torque"),
        figures=_figures(entry),
        locking=text(entry.data, "locking"),
        lasts=text(entry.data, "lasts"),
        prevention=text(entry.data, "prevention"),
        needs=needs(entry),
        sources=sources(entry.data),
        place=entry.place(),
    )


def _figures(entry: Entry) -> tuple[FigureId, ...]:
    return tuple(FigureId(one) for one in texts(entry.data, "figures"))


def setup(entry: Entry) -> Setup:
    """Give a setup, or a danger."""
    return Setup(
        id=SetupId(entry.id),
        title=text(entry.data, "title"),
        how=texts(entry.data, "how"),
        undo=texts(entry.data, "undo"),
        figures=_figures(entry),
        put_back=text(entry.data, "put_back"),
        undo_minutes=number(entry.data, "undo_minutes"),
        stops_running=bool(entry.data.get("stops_running", False)),
        danger=entry.section.key == "dangers",
        needs=needs(entry),
        place=entry.place(),
        spoils_spark=bool(entry.data.get("spoils_spark", False)),
    )


def hazard(entry: Entry) -> Hazard:
    """Give a hazard with its caution."""
    title, caution = text(entry.data, "title"), text(entry.data, "caution")
    return Hazard(HazardId(entry.id), title, caution, sources(entry.data), entry.place())


def source(entry: Entry) -> Source:
    """Give a source."""
    kind = SourceKind(str(entry.data["kind"]))
    return Source(
        SourceId(entry.id), text(entry.data, "title"), kind, text(entry.data, "detail"), entry.place()
    )


def item(entry: Entry) -> Item:
    """Give a tool or a spare."""
    return Item(
        id=ItemId(entry.id),
        title=text(entry.data, "title"),
        spare=entry.section.key == "spares",
        grams=number(entry.data, "grams"),
        litres=number(entry.data, "litres"),
        price=number(entry.data, "price"),
        place=entry.place(),
    )


def trait(entry: Entry) -> Trait:
    """Give a trait."""
    return Trait(TraitId(entry.id), text(entry.data, "title"), text(entry.data, "group"), entry.place())


def tree(entry: Entry) -> Tree:
    """Give a named tree."""
    tops = tuple(EventId(one) for one in texts(entry.data, "tops"))
    return Tree(entry.id, text(entry.data, "title"), text(entry.data, "about"), tops, entry.place())


def figure(entry: Entry) -> Figure:
    """Give a figure with the values that are assumed where a machine states none."""
    symbol = unit(entry, ["unit"], entry.data["unit"])
    assumed = []
    for index, table in enumerate(tables(listed(entry.data, "assumed"))):
        value = quantity(entry, ["assumed", index, "value"], table["value"], symbol)
        assumed.append((condition(table, "if"), value))
    title = text(entry.data, "title")
    return Figure(FigureId(entry.id), title, symbol or "", tuple(assumed), sources(entry.data), entry.place())


def machine(entry: Entry) -> Machine:
    """Give a machine. A figure must be written with its unit."""
    figures: dict[FigureId, Quantity] = {
        FigureId(name): quantity(entry, ["figures", name], value)
        for name, value in inner(entry.data, "figures").items()
    }
    return Machine(
        id=MachineId(entry.id),
        title=text(entry.data, "title"),
        about=text(entry.data, "about"),
        invented=bool(entry.data.get("invented", False)),
        traits=frozenset(TraitId(one) for one in texts(entry.data, "traits")),
        figures=figures,
        place=entry.place(),
    )


def kit(entry: Entry, items: Collection[ItemId]) -> Kit:
    """Give a kit; `all` stands for every item of the library."""
    held = items if entry.data["items"] == "all" else [ItemId(one) for one in texts(entry.data, "items")]
    return Kit(KitId(entry.id), text(entry.data, "title"), frozenset(held), entry.place())


def lesson(entry: Entry) -> Lesson:
    """Give a lesson."""
    table = entry.data
    return Lesson(
        id=LessonId(entry.id),
        title=text(table, "title"),
        goal=text(table, "goal"),
        level=int(number(table, "level")),
        complaint=EventId(text(table, "complaint")),
        machine=MachineId(text(table, "machine")),
        faults=tuple(EventId(one) for one in texts(table, "faults")),
        kit=KitId(text(table, "kit")) if "kit" in table else None,
        given=tuple(EventId(one) for one in texts(table, "given")),
        hints=texts(table, "hints"),
        place=entry.place(),
    )


def service(entry: Entry) -> Service:
    """Give a job of service; one without `hours:` is done before every ride."""
    table = entry.data
    prevents = inner(table, "prevents")
    return Service(
        id=ServiceId(entry.id),
        title=text(table, "title"),
        how=texts(table, "how"),
        hours=number(table, "hours"),
        months=number(table, "months"),
        prevents={EventId(name): number(prevents, name) for name in prevents},
        figures=tuple(FigureId(one) for one in texts(table, "figures")),
        locking=text(table, "locking"),
        needs=needs(entry),
        sources=sources(table),
        place=entry.place(),
    )


def expert_order(entry: Entry) -> ExpertOrder:
    """Give a fixed order of checks; its id is that of its complaint."""
    table = entry.data
    return ExpertOrder(
        complaint=EventId(entry.id),
        about=text(table, "about"),
        checks=tuple(CheckId(one) for one in texts(table, "checks")),
        sources=sources(table),
        place=entry.place(),
    )
