"""A chart for paper: the best one for its room, in the words of the library, as a value for every drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate

from kickover.core.ids import CheckId, HazardId, PlaceId, RepairId
from kickover.documents.charts.how_to import how_to_numbers
from kickover.documents.engine_drawing import MarkedDrawing, shown_on
from kickover.inference.hypotheses import Floats
from kickover.model.library import Check, Needs, Repair
from kickover.planning.bounded_chart import (
    END,
    BoundedChart,
    ChartValue,
    RepairBox,
    TableRow,
    Target,
    chart_value,
    redirected,
    targets_of,
)
from kickover.planning.build_problem import build_decision_problem
from kickover.planning.chart_growth import ChartGrowth
from kickover.planning.decision_problem import DecisionProblem
from kickover.session.outcome import items_in_words, limits_of
from kickover.session.session import Session
from kickover.session.wording import lower_first

MOST_BOXES = 20
MOST_PAGES, A_PAGE = 6, 36
"""No paper here has more pages than this, or more boxes and rows on one."""

GOES_ON = 2.5
"""A chart is grown as if giving up cost so many times its price: who has paper in hand goes on with it. Where
that costs more than calling for help, the paper says so."""

LEFT_NAMED = 4
"""So many causes are named that the paper does not mend, likeliest first."""


@dataclass(frozen=True, slots=True)
class Exit:
    """An answer of a box and where it leads: `to` is the label of a box or table, empty at an end."""

    answer: str
    to: str
    usual: bool = False
    stop: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """A box or row: its label, what to look for, what to repair, and where it leads.

    A box of a check has `exits`; a box of a repair has them for cured and not; a row has `shows`, the answers
    after which its repair is made, and then goes on to the next. `cautions` are numbers of the chart's
    cautions, `how` those of its check and repair in the booklet; `no_ride` tells that a cause that it
    mends must not be ridden with before its lasting repair; `lasts` how far a makeshift gets.
    """

    label: str
    check: str = ""
    check_id: str = ""
    repair: str = ""
    repair_id: str = ""
    minutes: int = 0
    exits: tuple[Exit, ...] = ()
    shows: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    normal: str = ""
    cautions: tuple[int, ...] = ()
    no_ride: bool = False
    share: float = 0.0
    how: tuple[int, ...] = ()
    lasts: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows that are worked down in order; `left` are the likeliest causes that it leaves, in words.

    After the first `paying` rows, calling for help costs less than going on.
    """

    letter: str
    title: str
    rows: tuple[Item, ...]
    paying: int
    left: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing with the places of steps marked, and which steps are at each of them."""

    marked: MarkedDrawing
    legend: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart in words. `minutes` and `mended` are worked out exactly; `planned` are the walk's minutes.

    `at_lines` are `mended` and `minutes` of who calls for help where a table stops paying, `loss` the minutes
    that the chart was chosen by: with giving up at the price that it was grown at.
    """

    title: str
    machine: str
    kit: str
    version: str
    needed: str
    boxes: tuple[Item, ...]
    tables: tuple[Table, ...]
    cautions: tuple[tuple[str, str], ...]
    figures: tuple[Figure, ...]
    left: tuple[str, ...]
    mended: float
    minutes: float
    at_lines: tuple[float, float]
    loss: float
    give_up: float
    planned: float
    invented: bool


class ChartMaker:
    """Makes the charts of one walk at its start; what was worked out for one room serves the next."""

    def __init__(self, session: Session, kit: str) -> None:
        self.session = session
        self.kit = kit
        price = session.library.settings.give_up_minutes if session.give_up is None else session.give_up
        self.problem: DecisionProblem = build_decision_problem(session.belief, session.job, price)
        self.planned = session.plan().next.expected

    @cached_property
    def _growth(self) -> ChartGrowth:
        grown_at = replace(self.problem, give_up=GOES_ON * self.problem.give_up)
        return ChartGrowth(grown_at, MOST_PAGES * A_PAGE, MOST_BOXES)

    def chart(self, room: int) -> Chart:
        """The best chart of at most `room` boxes and rows, in words."""
        return _Wording(self, _in_reading_order(*self._growth.within(room))).chart()

    @cached_property
    def numbers(self) -> dict[str, int]:
        """The numbers of the booklet of this machine."""
        return how_to_numbers(self.session.library, self.session.model.machine)


def _in_reading_order(chart: BoundedChart, value: ChartValue) -> BoundedChart:
    """The boxes so that the usual way goes straight down, what is rarer after it."""
    order: list[int] = []

    def visit(place: int) -> None:
        order.append(place)
        onward = {one.box for one in targets_of(chart.boxes[place]) if one.box != END}
        for target in sorted(onward, key=lambda at: -value.at_box[at]):
            if target not in order:
                visit(target)

    if chart.boxes:
        visit(0)
    place = {old: new for new, old in enumerate(order)}
    tables: dict[int, int] = {}

    def moved(target: Target) -> Target:
        if target.box != END:
            return Target(box=place[target.box])
        if target.table != END:
            return Target(table=tables.setdefault(target.table, len(tables)))
        return target

    boxes = tuple(redirected(chart.boxes[old], moved) for old in order)
    for number in range(len(chart.tables)):
        tables.setdefault(number, len(tables))
    return BoundedChart(boxes, tuple(chart.tables[number] for number in tables))


class _Wording:
    """Puts one chart into the words of the library."""

    def __init__(self, maker: ChartMaker, chart: BoundedChart) -> None:
        self.session, self.problem, self.kit = maker.session, maker.problem, maker.kit
        self.library = maker.session.library
        self.planned = maker.planned
        self.bounded = chart
        self.value = chart_value(maker.problem, chart)
        self.numbers = maker.numbers
        self.hazards: list[HazardId] = []
        self.needs: list[Needs] = []
        self.at: dict[PlaceId, list[str]] = {}

    def chart(self) -> Chart:
        """The chart in words."""
        boxes = tuple(self._box(place) for place in range(len(self.bounded.boxes)))
        tables = tuple(self._table(number) for number in range(len(self.bounded.tables)))
        library = self.library
        wanted = dict.fromkeys(item for needs in self.needs for item in (*needs.tools, *needs.spares))
        complaint = library.complaints[self.session.model.hypotheses.complaints[0]]
        titles = [library.complaints[one].title for one in self.session.model.hypotheses.complaints]
        self._cautions(Needs(minutes=0.0, hazards=complaint.proof.hazards))
        value, price = self.value, self.problem.give_up
        past = [(number, table.paying) for number, table in enumerate(tables)]
        return Chart(
            title="; ".join(titles),
            machine=self.session.model.machine.title,
            kit=self.kit,
            version=library.edition,
            needed=items_in_words(self.session, tuple(wanted)),
            boxes=boxes,
            tables=tables,
            cautions=tuple(
                (library.hazards[one].title, library.hazards[one].caution) for one in self.hazards
            ),
            figures=tuple(self._figures()),
            left=self._likeliest(sum(self.value.left.values(), start=self.problem.mass * 0.0)),
            mended=value.mended,
            minutes=value.minutes,
            at_lines=(
                value.mended - sum(sum(value.by_row[number][paying:]) for number, paying in past),
                value.minutes + sum(sum(value.saved_by_row[number][paying:]) for number, paying in past),
            ),
            loss=value.minutes + (GOES_ON - 1.0) * price * (1.0 - value.mended),
            give_up=price,
            planned=self.planned,
            invented=self.session.model.machine.invented,
        )

    def _figures(self) -> Iterator[Figure]:
        """The drawings on which steps are, first those of most of them."""
        shown = shown_on(self.library, self.session.model.machine, self.at)
        for one in sorted(shown, key=lambda one: -sum(len(self.at[place]) for place in one.places)):
            legend = (
                f"{one.drawing.number(name)} {place.title}: {', '.join(dict.fromkeys(self.at[name]))}"
                for name, place in one.drawing.places.items()
                if name in one.places
            )
            yield Figure(one, tuple(legend))

    def _box(self, place: int) -> Item:
        box = self.bounded.boxes[place]
        label, share = str(place + 1), self.value.at_box[place]
        if isinstance(box, RepairBox):
            repair = self._repair(box.repair, label)
            exits: tuple[Exit, ...] = (
                Exit("cured", "", stop=True),
                Exit("not cured", self._label(box.target), usual=True),
            )
            return Item(
                label,
                repair=repair.title,
                repair_id=repair.id,
                minutes=_whole(repair.needs.minutes),
                exits=exits,
                cautions=self._cautions(repair.needs),
                no_ride=self._no_ride(repair),
                share=share,
                how=self._how(repair.id),
                lasts=repair.lasts,
            )
        check = self._check(box.check, label)
        labels = [self._label(target) for target in box.targets]
        exits = tuple(
            Exit(finding.title, to, usual=to == str(place + 2), stop=bool(finding.stop))
            for finding, to in zip(check.findings, labels, strict=True)
        )
        return Item(
            label,
            check=check.ask,
            check_id=check.id,
            minutes=_whole(check.needs.minutes),
            exits=exits,
            normal="; ".join(limits_of(self.session, check)),
            cautions=self._cautions(check.needs),
            share=share,
            how=self._how(check.id),
        )

    def _table(self, number: int) -> Table:
        letter = chr(ord("A") + number)
        rows = self.bounded.tables[number]
        shares = self.value.at_row[number]
        items = tuple(
            self._row(f"{letter}{place}", row, share)
            for place, (row, share) in enumerate(zip(rows, shares, strict=True), start=1)
        )
        left = self.value.left.get(number)
        saved = list(accumulate(self.value.saved_by_row[number], initial=0.0))
        rest = () if left is None else self._likeliest(left)
        return Table(letter, self._about(rows), items, saved.index(max(saved)), rest)

    def _row(self, label: str, row: TableRow, share: float) -> Item:
        repair = self._repair(row.repair, label)
        check = None if row.check is None else self._check(row.check, label)
        findings = () if check is None else check.findings
        needs = [repair.needs] if check is None else [check.needs, repair.needs]
        return Item(
            label,
            check="" if check is None else check.ask,
            check_id="" if check is None else check.id,
            repair=repair.title,
            repair_id=repair.id,
            minutes=_whole(sum(need.minutes for need in needs)),
            shows=tuple(finding.title for place, finding in enumerate(findings) if place in row.shows),
            others=tuple(finding.title for place, finding in enumerate(findings) if place not in row.shows),
            normal="" if check is None else "; ".join(limits_of(self.session, check)),
            cautions=tuple(sorted({one for need in needs for one in self._cautions(need)})),
            no_ride=self._no_ride(repair),
            share=share,
            how=self._how("" if check is None else check.id, repair.id),
            lasts=repair.lasts,
        )

    def _about(self, rows: Sequence[TableRow]) -> str:
        """What a table is about: the parts of the machine that most of its repairs are at."""
        repairs = self.session.model.repairs
        spots = [repairs[RepairId(self.problem.repairs[row.repair])].needs.spot for row in rows]
        often = sorted(dict.fromkeys(spots), key=lambda spot: -spots.count(spot))
        return ", ".join(spot for spot in often[:3] if spot)

    def _how(self, *steps: str) -> tuple[int, ...]:
        return tuple(self.numbers[step] for step in steps if step in self.numbers)

    def _label(self, target: Target) -> str:
        if target.box != END:
            return str(target.box + 1)
        return chr(ord("A") + target.table) if target.table != END else ""

    def _check(self, number: int, label: str) -> Check:
        check = self.session.model.checks[CheckId(self.problem.checks[number])]
        self._note(check.needs, label)
        return check

    def _repair(self, number: int, label: str) -> Repair:
        repair = self.session.model.repairs[RepairId(self.problem.repairs[number])]
        self._note(repair.needs, label)
        return repair

    def _note(self, needs: Needs, label: str) -> None:
        self.needs.append(needs)
        for place in needs.shown_at:
            self.at.setdefault(place, []).append(label)

    def _cautions(self, needs: Needs) -> tuple[int, ...]:
        numbers = []
        setups = [self.library.setups[setup].needs.hazards for setup in needs.setups]
        for hazard in dict.fromkeys((*needs.hazards, *(one for group in setups for one in group))):
            if hazard not in self.hazards:
                self.hazards.append(hazard)
            numbers.append(self.hazards.index(hazard) + 1)
        return tuple(sorted(numbers))

    def _no_ride(self, repair: Repair) -> bool:
        under = set(self.session.model.hypotheses.structure.causes)
        return any(not self.library.causes[cause].ride for cause in repair.cures if cause in under)

    def _printed(self) -> set[int]:
        boxes = {box.repair for box in self.bounded.boxes if isinstance(box, RepairBox)}
        return boxes | {row.repair for table in self.bounded.tables for row in table}

    def _unlisted(self) -> set[int]:
        """The repairs that only a mechanic finds: they name nothing that one could look for."""
        listed, repairs = self.library.causes, self.session.model.repairs
        return {
            number
            for number, id_ in enumerate(self.problem.repairs)
            if all(cause not in listed or listed[cause].undeveloped for cause in repairs[RepairId(id_)].cures)
        }

    def _likeliest(self, mass: Floats) -> tuple[str, ...]:
        """What would mend most of what is left, in words: the repairs that this paper has no room for."""
        ends = self.problem.ends @ mass
        ends[list(self._printed() | self._unlisted())] = 0.0
        best = sorted(range(len(ends)), key=lambda number: -float(ends[number]))[:LEFT_NAMED]
        repairs = self.session.model.repairs
        return tuple(
            lower_first(repairs[RepairId(self.problem.repairs[number])].title)
            for number in best
            if ends[number] > 0.002
        )


def steps_of(chart: Chart) -> Iterator[Item]:
    """All boxes and rows, in the order in which they are printed."""
    yield from chart.boxes
    for table in chart.tables:
        yield from table.rows


def _whole(minutes: float) -> int:
    return max(1, round(minutes))
