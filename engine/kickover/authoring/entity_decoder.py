"""One entry to one entity, by the fields of the entity's dataclass.

Reads data whose form has been checked. Each field is read by its type, under its key; what an author writes
otherwise than it is held (a yes/no check, a gate's number of votes) has a reader of its own in `_SPECIAL`.
What still cannot be a value (a quantity that is none) is reported on the entry.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import is_dataclass
from enum import Enum
from typing import Any as AnyValue
from typing import TypeVar, cast, get_args, get_origin

from kickover.authoring.located import Items, Step, Table, inner, listed, tables
from kickover.authoring.sections import Entry
from kickover.core.ids import FigureId, FindingId
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE, OWN_ID, AuthoredField, authored_fields, bare
from kickover.model.library import (
    ALWAYS,
    All,
    Any,
    Cause,
    Check,
    Condition,
    Figure,
    FigureRef,
    Finding,
    FormulaRef,
    Gate,
    Input,
    Is,
    Kit,
    Limit,
    Line,
    Machine,
    Not,
    Reading,
    Repair,
    Settings,
    Works,
)
from kickover.units import Quantity, QuantityError, dimension_of, parse, parse_stated

Entity = TypeVar("Entity")
Made = TypeVar("Made")
Steps = tuple[Step, ...]
_RATIO = " ratio"
_DIFFERENCES = {"°C": "Δ°C", "K": "Δ°C", "°F": "Δ°F"}


class EntityDecoder:
    """Reads one entry. `settings` give numbers to words, `items` are what a kit of `all` holds."""

    def __init__(
        self, entry: Entry, *, settings: Settings | None = None, items: Collection[str] = ()
    ) -> None:
        self.entry = entry
        self.words = settings or Settings()
        self.items = items

    def read(self, entity: type[Entity], table: Table, steps: Steps = (), unit: str | None = None) -> Entity:
        """Read an entity from the table to which `steps` lead; bare numbers of quantities are in `unit`."""
        special = _SPECIAL.get(entity)
        given = special(self, table, steps) if special else {}
        unit = given.get("unit", unit)
        for field in authored_fields(entity):
            if field.name not in given and (field.required or field.key in table):
                given[field.name] = self._field(field, table, steps, unit)
        return entity(**given)

    def _field(self, field: AuthoredField, table: Table, steps: Steps, unit: str | None) -> AnyValue:
        if field.hint is SourcePlace:
            return self.entry.place(*steps)
        if field.section:
            return field.section == self.entry.section.key
        if OWN_ID.name in (field.name, field.key):
            return self.entry.id
        if field.key == IN_PLACE.name:
            return self.read(bare(field.hint), table, steps, unit)
        return self._value(field.hint, table[field.key], (*steps, field.key), unit)

    def _value(self, hint: AnyValue, written: object, steps: Steps, unit: str | None) -> AnyValue:
        hint = bare(hint)
        made_of, parts = get_origin(hint), get_args(hint)
        if made_of in (tuple, frozenset):
            each = enumerate(written) if isinstance(written, Items) else [(0, written)]
            return made_of(self._value(parts[0], part, (*steps, place), unit) for place, part in each)
        if made_of is Mapping and isinstance(written, Table):
            return {name: self._value(parts[1], part, (*steps, name), unit) for name, part in written.items()}
        if hint == Condition:
            return condition(written)
        if hint is Quantity:
            return quantity(self.entry, steps, written, unit)
        if hint is Limit:
            return self.limit(written, steps, unit)
        if hint is Input and not isinstance(written, Table):
            return Input(cast("AnyValue", written))
        if is_dataclass(hint):
            return self.read(cast("type", hint), cast("Table", written), steps, unit)
        return _plain(hint, written)

    def limit(self, written: object, steps: Steps, unit: str | None) -> Limit:
        """Read the limit of a band, whose bare numbers are in the unit of the reading."""
        if not isinstance(written, Table):
            return Limit(quantity(self.entry, steps, written, unit))
        base: FigureRef | FormulaRef
        if "formula" in written:
            arguments = {
                name: self._argument((*steps, "with", name), given)
                for name, given in inner(written, "with").items()
            }
            base = FormulaRef(text(written, "formula"), arguments)
        else:
            base = FigureRef(FigureId(text(written, "figure")))
        plus = amount(self.entry, (*steps, "plus"), written["plus"], unit) if "plus" in written else None
        return Limit(base, number(written, "times", 1.0), plus)

    def _argument(self, steps: Steps, given: object) -> FigureRef | Quantity:
        if isinstance(given, str) and given[:1].isalpha():
            return FigureRef(FigureId(given))
        return stated_quantity(self.entry, steps, given)

    def gate(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """The number of inputs that a gate takes, which authors write as a word."""
        inputs = len(listed(table, "of"))
        if table["gate"] == "and" and inputs == 1:
            message = f"{self.entry.title} is an `and` of one input"
            self.entry.report(["of"], message, "add the others, or write `gate: or`")
        needed = {"or": 1, "and": inputs}.get(text(table, "gate"))
        return {"needed": int(number(table, "k")) if needed is None else needed}

    def input(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """The event of an input that has a chance beside it."""
        return {"event": text(table, "event")}

    def cause(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """The rate of a cause, its word turned into the number that the settings give it."""
        rate = table["rate"]
        if isinstance(rate, str) and rate not in self.words.rates:
            known = ", ".join(self.words.rates) or "none"
            self.entry.report(["rate"], f"`{rate}` is no rate word", f"write one of {known}, or a number")
        if isinstance(rate, str):
            return {"rate": self.words.rates.get(rate, 1.0), "rate_word": rate}
        return {"rate": number(table, "rate")}

    def repair(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """Each cause that a repair cures with the chance that it works on it.

        In a plain list the lasting repairs are sure, and the stop-gaps of the roadside work perhaps.
        """
        written, works = table["cures"], self.words.works
        if not isinstance(written, Table):
            usual = works.get(Works.PERHAPS if table["roadside"] else Works.SURE, 1.0)
            return {"cures": {str(name): usual for name in listed(table, "cures")}}
        return {
            "cures": {
                name: works.get(Works(how), 1.0) if isinstance(how, str) else number(written, name)
                for name, how in written.items()
            }
        }

    def check(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """The findings and lines of a check; a yes/no check becomes one with two of each."""
        if "observes" in table:
            findings = [(word, table.get(word, word.capitalize())) for word in ("yes", "no")]
            return {"findings": self._findings(findings), "lines": self._two_lines(table)}
        if "findings" in table:
            return {"findings": self._findings(inner(table, "findings").items())}
        bands = tables(listed(inner(table, "reading"), "bands"))
        return {"findings": self._findings((text(band, "finding"), band) for band in bands)}

    def _findings(self, named: AnyValue) -> tuple[Finding, ...]:
        return tuple(self._finding(FindingId(name), written) for name, written in named)

    def _finding(self, name: FindingId, written: object) -> Finding:
        if not isinstance(written, Table):
            return Finding(name, str(written))
        # The id of a finding is its key, so that what is read in place must be told both.
        values = {
            field.name: self._field(field, written, (), None)
            for field in authored_fields(Finding)
            if field.name not in ("id", "title") and field.key in written
        }
        return Finding(id=name, title=text(written, "title", name.capitalize()), **values)

    def _two_lines(self, table: Table) -> tuple[Line, ...]:
        abnormal = FindingId(str(table["abnormal"]))
        normal = FindingId("no" if abnormal == "yes" else "yes")
        miss, false_alarm = number(table, "miss"), number(table, "false_alarm")
        observed, otherwise = (
            {abnormal: 1 - miss, normal: miss},
            {abnormal: false_alarm, normal: 1 - false_alarm},
        )
        return (
            Line(observed, self.entry.place("miss"), condition(table["observes"])),
            Line(otherwise, self.entry.place("false_alarm")),
        )

    def reading(self, table: Table, steps: Steps) -> dict[str, AnyValue]:
        """The unit and the error of a reading."""
        symbol = unit_symbol(self.entry, (*steps, "unit"), table["unit"])
        error, there = inner(table, "error"), (*steps, "error", "fixed")
        fixed = amount(self.entry, there, error["fixed"], symbol) if "fixed" in error else None
        return {
            "unit": symbol,
            "error_share": number(error, "share"),
            "error_fixed": fixed or Quantity(0.0, symbol or ""),
        }

    def figure(self, table: Table, steps: Steps) -> dict[str, AnyValue]:
        """The unit of a figure, and the values that are assumed where a machine states none."""
        symbol = unit_symbol(self.entry, (*steps, "unit"), table["unit"])
        assumed = tuple(
            (
                condition(choice["if"]) if "if" in choice else ALWAYS,
                quantity(self.entry, (*steps, "assumed", place, "value"), choice["value"], symbol),
            )
            for place, choice in enumerate(tables(listed(table, "assumed")))
        )
        return {"unit": symbol, "assumed": assumed}

    def machine(self, table: Table, steps: Steps) -> dict[str, AnyValue]:
        """The figures that a machine states; a bare number is a ratio, which has no unit."""
        stated = inner(table, "figures").items()
        return {
            "figures": {
                name: stated_quantity(self.entry, (*steps, "figures", name), value) for name, value in stated
            }
        }

    def kit(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """The items of a kit, of which `all` stands for every one of the library."""
        return {"items": frozenset(self.items)} if table["items"] == "all" else {}

    def settings(self, table: Table, _steps: Steps) -> dict[str, AnyValue]:
        """Nothing but a look at two numbers that must leave something to a third."""
        usual = Settings()
        two_cause = number(table, "two_cause_share", usual.two_cause_share)
        if two_cause + number(table, "unlisted_share", usual.unlisted_share) >= 1:
            message = "two_cause_share and unlisted_share leave nothing for a single cause"
            self.entry.report(["two_cause_share"], message, "write smaller shares")
        return {}


_SPECIAL: Mapping[type, Callable[[EntityDecoder, Table, Steps], dict[str, AnyValue]]] = {
    Gate: EntityDecoder.gate,
    Input: EntityDecoder.input,
    Cause: EntityDecoder.cause,
    Check: EntityDecoder.check,
    Reading: EntityDecoder.reading,
    Figure: EntityDecoder.figure,
    Kit: EntityDecoder.kit,
    Machine: EntityDecoder.machine,
    Repair: EntityDecoder.repair,
    Settings: EntityDecoder.settings,
}


def _plain(hint: AnyValue, written: object) -> AnyValue:
    """A text, an id, a number, a flag or a word of a fixed choice."""
    if hint in (bool, int, float):
        return hint(float(cast("float", written)) if hint is int else written)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return hint(str(written))
    return str(written).rstrip("\n")  # without the line break that a block of text ends with


def text(table: Table, key: str, otherwise: str = "") -> str:
    """Give the text at `key`, without the line break that a block of text ends with."""
    return str(table.get(key, otherwise)).rstrip("\n")


def number(table: Table, key: str, otherwise: float = 0.0) -> float:
    """Give the number at `key`."""
    found = table.get(key, otherwise)
    return float(found) if isinstance(found, int | float) else otherwise


def condition(written: object) -> Condition:
    """Give a condition: a name, or `{not: ...}`, `{all: [...]}`, `{any: [...]}`."""
    if not isinstance(written, Table):
        return Is(str(written))
    word = next(iter(written))
    if word == "not":
        return Not(condition(written[word]))
    parts = tuple(condition(part) for part in listed(written, word))
    return All(parts) if word == "all" else Any(parts)


def quantity(entry: Entry, steps: Sequence[Step], written: object, unit: str | None = None) -> Quantity:
    """Give a quantity; a bare number is in `unit`, if there is one. `6.5 ratio` has no unit, and says so."""
    given = str(written)
    number_of_ratio = given.removesuffix(_RATIO)
    usual = unit if number_of_ratio == given else ""
    return _or_report(entry, steps, lambda: parse(number_of_ratio, default_unit=usual), Quantity(0.0, ""))


def stated_quantity(entry: Entry, steps: Sequence[Step], written: object) -> Quantity:
    """Give a quantity of any kind, which says its unit; a bare number is a ratio."""
    given = str(written).removesuffix(_RATIO)
    return _or_report(entry, steps, lambda: parse_stated(given), Quantity(0.0, ""))


def amount(entry: Entry, steps: Sequence[Step], written: object, unit: str | None) -> Quantity:
    """Give an amount to be added to a quantity in `unit`, or an error of it, as a number of that unit.

    For temperatures it is a difference, so that 9 °F is 5 °C and not -13 °C.
    """
    difference = _DIFFERENCES.get(unit or "")
    given = quantity(entry, steps, written, difference or unit)
    if difference is None or given.dimension != dimension_of(difference):
        return given
    return Quantity(given.within(difference), unit or "")


def unit_symbol(entry: Entry, steps: Sequence[Step], written: object) -> str | None:
    """Give the symbol of a unit, or None when it is none."""
    symbol = "" if written == _RATIO.strip() else str(written)
    return _or_report(entry, steps, lambda: Quantity(0.0, symbol).unit, None)


def _or_report(entry: Entry, steps: Sequence[Step], make: Callable[[], Made], otherwise: Made) -> Made:
    try:
        return make()
    except QuantityError as error:
        message, _, hint = str(error).partition("; ")
        entry.report(steps, message, hint or "write a number with its unit, such as `0.35 mm`")
        return otherwise
