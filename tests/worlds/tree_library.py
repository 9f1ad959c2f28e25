"""A small invented library, and the parts to make others: used by the tests of pictures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from kickover.core.ids import CheckId, EventId, FindingId, MachineId, TraitId
from kickover.core.problem import SourcePlace
from kickover.model.library import (
    ALWAYS,
    Cause,
    Check,
    CheckKind,
    Complaint,
    Condition,
    Finding,
    Gate,
    HouseEvent,
    Input,
    Is,
    Library,
    Line,
    Machine,
    Needs,
    Proof,
    Settings,
    Trait,
    Tree,
)

HERE = SourcePlace("invented.yaml", 1)


def gate(id_: str, inputs: Iterable[str | tuple[str, float]], needed: int = 1, **more: Any) -> Gate:
    lines = tuple(
        Input(EventId(input_)) if isinstance(input_, str) else Input(EventId(input_[0]), input_[1])
        for input_ in inputs
    )
    title = more.get("title", id_.replace("-", " ").capitalize())
    return Gate(EventId(id_), title, needed, lines, HERE, more.get("about", ""), more.get("only_if", ALWAYS))


def cause(id_: str, rate: float = 1.0, **more: Any) -> Cause:
    title = more.get("title", id_.replace("-", " ").capitalize())
    return Cause(
        EventId(id_),
        title,
        rate,
        HERE,
        rate_word=more.get("word", ""),
        factors=more.get("factors", {}),
        only_if=more.get("only_if", ALWAYS),
        ride=more.get("ride", True),
    )


def house(id_: str, title: str) -> HouseEvent:
    return HouseEvent(EventId(id_), title, f"{title}?", HERE)


def check(id_: str, observes: Condition, title: str = "", only_if: Condition = ALWAYS) -> Check:
    yes, no = FindingId("yes"), FindingId("no")
    lines = (Line({yes: 0.9, no: 0.1}, HERE, observes), Line({yes: 0.1, no: 0.9}, HERE))
    findings = (Finding(yes, "Yes"), Finding(no, "No"))
    return Check(
        CheckId(id_),
        title or id_.replace("-", " ").capitalize(),
        CheckKind.LOOK,
        "So?",
        Needs(minutes=1.0, only_if=only_if),
        HERE,
        findings=findings,
        lines=lines,
    )


def by_id(parts: Iterable[Any]) -> dict[Any, Any]:
    return {part.id: part for part in parts}


def library(
    gates: Iterable[Gate] = (),
    causes: Iterable[Cause] = (),
    *,
    complaints: Mapping[str, tuple[Gate, tuple[str, ...]]] | None = None,
    houses: Iterable[HouseEvent] = (),
    checks: Iterable[Check] = (),
    trees: Mapping[str, tuple[str, ...]] | None = None,
) -> Library:
    proof = Proof("Does it start?", 1.0)
    return Library(
        title="Invented library", version="1.0+abc", settings=Settings(),
        complaints={
            EventId(id_): Complaint(top, (), proof, tuple(EventId(imply) for imply in implies))
            for id_, (top, implies) in (complaints or {}).items()
        },
        gates=by_id(gates), causes=by_id(causes), houses=by_id(houses), checks=by_id(checks), repairs={},
        setups={}, hazards={}, sources={}, items={}, figures={},
        traits=by_id([Trait(TraitId("two-stroke"), "Two-stroke", "stroke", HERE)]),
        machines=by_id([two_stroke(), four_stroke()]), kits={},
        trees=by_id(
            Tree(id_, id_.capitalize(), tuple(EventId(top) for top in tops), HERE)
            for id_, tops in (trees or {}).items()
        ),
    )  # fmt: skip


def two_stroke() -> Machine:
    traits = frozenset({TraitId("two-stroke")})
    return Machine(MachineId("hill-clip-on"), "Hill clip-on", traits, HERE, invented=True)


def four_stroke() -> Machine:
    return Machine(MachineId("valley-moped"), "Valley moped", frozenset(), HERE, invented=True)


def courier_library() -> Library:
    """One tree with every kind of symbol, and a second one to be pointed at."""
    return library(
        gates=[
            gate("no-spark", ["switch-shorted", ("plug-wet", 0.3), "two-leaks"]),
            gate("two-leaks", ["lead-worn", "cap-cracked", "rain"], needed=2),
            gate("no-fuel", ["tap-shut", "filter-blocked", "tank-empty", "vent-blocked", "hose-kinked"]),
            gate("cold-and-weak", ["lead-worn", "engine-cold"], needed=2),
        ],
        causes=[
            cause("switch-shorted", 8, word="very-common", factors={EventId("rain"): 3.0}),
            cause("plug-wet", 2.5, title='Plug wet: "жук" Ω ≥ <b>&amp; \\N'),
            cause("lead-worn"), cause("cap-cracked", ride=False), cause("tap-shut"), cause("filter-blocked"),
            cause("tank-empty"), cause("vent-blocked"), cause("hose-kinked", only_if=Is("two-stroke")),
        ],
        complaints={
            "will-not-start": (gate("will-not-start", ["no-spark", "no-fuel", "cold-and-weak"]), ("rain",))
        },
        houses=[house("rain", "It was out in rain"), house("engine-cold", "The engine is cold")],
        checks=[
            check("spark-seen", Is("no-spark"), "Spark at a spare plug"),
            check("switch-clicks", Is("switch-shorted")),
        ],
        trees={"ignition": ("no-spark",), "fuel": ("no-fuel",)},
    )  # fmt: skip
