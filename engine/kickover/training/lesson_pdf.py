"""An exercise on paper: the learner's sheet to fill in, and the teacher's key with what every check shows.

The teacher answers from the key what the learner asks; the same exercise and seed give the same engine.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import chain

from kickover.core.ids import CheckId, EventId, HazardId
from kickover.documents.columns import (
    Piece,
    caution_box,
    gap,
    paragraph,
    pdf_in_columns,
    picture,
    table_row,
)
from kickover.documents.dot_text import Words
from kickover.documents.engine_drawing import shown_on
from kickover.documents.page_layout import MARGIN
from kickover.documents.paper import SMALL, PdfCanvas
from kickover.inference.compiled_model import EngineState
from kickover.model.library import Check, Library, Repair
from kickover.session.history import finding_in_words
from kickover.session.outcome import LOCAL_RULES
from kickover.session.wording import chance_in_words, minutes_in_words, sentence
from kickover.training.best_plan import Planner
from kickover.training.exercise import Exercise
from kickover.training.practice import Practice
from kickover.training.workbench import PLACES, Kind, offers

BLANK_ROWS = 22


def lesson_sheet_pdf(library: Library, exercise: Exercise, practice: Practice, paper: str = "a4") -> bytes:
    """The learner's sheet: what is known, cautions, and rows to write what was checked and what it showed.

    Nothing on it depends on the hidden fault. Raises PaperError for an unknown paper.
    """
    return _printed(
        f"Practice: {exercise.title}",
        practice.engine.seed,
        lambda wide: (
            chain(_task(library, exercise, wide), _pictures(library, exercise, practice, wide)),
            _rows(wide),
        ),
        paper,
    )


def answer_key_pdf(
    library: Library, exercise: Exercise, practice: Practice, planner: Planner, paper: str = "a4"
) -> bytes:
    """The teacher's key: the hidden fault, a good way to it, and what every check shows on this engine."""
    return _printed(
        f"Answer key: {exercise.title}",
        practice.engine.seed,
        lambda wide: [
            chain(
                _hidden(library, practice, wide),
                _good_way(practice, planner, wide),
                _hints(exercise, wide),
                _findings(practice, wide),
            )
        ],
        paper,
    )


def _printed(
    title: str, seed: int, groups: Callable[[float], Iterable[Iterable[Piece]]], paper: str
) -> bytes:
    def furniture(canvas: PdfCanvas, number: str) -> None:
        right = canvas.paper.wide - MARGIN
        canvas.words(Words(title, 11, bold=True), MARGIN, MARGIN)
        canvas.right(Words(f"Engine {seed}, page {number}", SMALL), right, MARGIN + 2)
        canvas.line(((MARGIN, MARGIN + 17), (right, MARGIN + 17)), 0.6)
        canvas.words(Words(LOCAL_RULES, SMALL), MARGIN, canvas.paper.high - MARGIN - 10)

    return pdf_in_columns(title, paper, groups, furniture, head=24, foot=16)


def _task(library: Library, exercise: Exercise, wide: float) -> Iterator[Piece]:
    yield from paragraph("Name: ..............................   Date: ....................", wide)
    yield gap(6)
    facts = [("Complaint", library.complaints[exercise.complaint].title), ("Machine", exercise.machine.title)]
    facts += [("It is so", library.title_of(house)) for house in sorted(exercise.given)]
    facts += [("Goal", exercise.goal)] if exercise.goal else []
    if exercise.items is not None:
        facts.append(("With", ", ".join(library.items[item].title for item in sorted(exercise.items))))
    for name, says in facts:
        yield table_row((name, says), (wide * 0.2, wide * 0.8))
    yield gap(6)
    told = "Ask for one check at a time; your teacher tells what it shows. Write down why you choose it."
    yield from paragraph(told, wide, size=SMALL)
    yield gap(6)
    yield from paragraph("Cautions", wide, bold=True, holds=True)
    for hazard in library.complaints[exercise.complaint].proof.hazards:
        yield caution_box(library.hazards[hazard].title, library.hazards[hazard].caution, wide)
    yield from paragraph(
        "Each check has cautions of its own; ask for them before you begin it.", wide, size=SMALL
    )
    yield gap(8)


def _pictures(library: Library, exercise: Exercise, practice: Practice, wide: float) -> Iterator[Piece]:
    """The drawings on which most repairs are: all that the complaint can need, so none gives it away."""
    model = practice.session.model
    causes = set(model.hypotheses.structure.causes)
    asked = [repair.needs.shown_at for repair in model.repairs.values() if causes & repair.cures.keys()]
    places = dict.fromkeys(place for shown in asked for place in shown)
    found = shown_on(library, exercise.machine, places)
    asks = [sum(bool({*shown} & {*one.places}) for shown in asked) for one in found]
    for count, one in sorted(zip(asks, found, strict=True), key=lambda pair: -pair[0]):
        if 2 * count >= max(asks):
            yield picture(replace(one, places=()), wide)


def _rows(wide: float) -> Iterator[Piece]:
    widths = (wide * 0.34, wide * 0.26, wide * 0.3, wide * 0.1)
    yield table_row(("I check or do", "It shows", "Now I think", "min"), widths, bold=True)
    for _ in range(BLANK_ROWS):
        yield table_row((" \n ", "", "", ""), widths, size=11)
    yield gap(8)
    for asked in ("The fault is", "It is mended by", "It is proven by"):
        yield from paragraph(f"{asked}: ................................................", wide)
        yield gap(5)


def _hidden(library: Library, practice: Practice, wide: float) -> Iterator[Piece]:
    yield from paragraph("Hidden", wide, bold=True, holds=True)
    for cause in practice.engine.causes:
        yield from paragraph(library.title_of(cause), wide)
        if library.causes[cause].about:
            yield from paragraph(library.causes[cause].about, wide, size=SMALL)
        for repair in practice.session.model.repairs.values():
            if cause in repair.cures:
                yield from paragraph(f"Mended by: {repair.title}, {_kind(repair, cause)}.", wide, size=SMALL)
    level = practice.engine.level
    yield from paragraph(f"Level {level.number}: {level.title}.", wide, size=SMALL)
    yield gap(6)


def _kind(repair: Repair, cause: EventId) -> str:
    lasting = "for the way home" if repair.roadside else "lasting"
    return f"{lasting}, {chance_in_words(repair.cures[cause])} to work"


def _good_way(practice: Practice, planner: Planner, wide: float) -> Iterator[Piece]:
    yield from paragraph("A good way, by the plan of the walk", wide, bold=True, holds=True)
    walked = planner.walk(practice.engine, practice.session)
    for number, move in enumerate(walked.moves, start=1):
        came = " ".join(move.outcome)
        yield from paragraph(f"{number}. {move.title}: {came}", wide, size=SMALL)
    yield from paragraph(sentence(f"in all {minutes_in_words(walked.session.minutes)}"), wide, size=SMALL)
    yield gap(6)


def _hints(exercise: Exercise, wide: float) -> Iterator[Piece]:
    if exercise.hints:
        yield from paragraph("Hints, one at a time", wide, bold=True, holds=True)
    for number, hint in enumerate(exercise.hints, start=1):
        yield from paragraph(f"{number}. {hint}", wide, size=SMALL)
    yield gap(6)


def _findings(practice: Practice, wide: float) -> Iterator[Piece]:
    """Every check by its place, in the order of the bench, with what it shows before anything is mended."""
    session = practice.session
    state = EngineState(session.job.houses, frozenset())
    places: dict[str, list[Check]] = defaultdict(list)
    for offer in offers(session):
        if offer.kind is Kind.CHECK:
            places[offer.place].append(session.model.checks[CheckId(offer.id)])
    yield from paragraph("What every check shows, before any repair", wide, size=11, bold=True, holds=True)
    for place in sorted(
        places, key=lambda spot: (list(PLACES).index(spot) if spot in PLACES else len(PLACES), spot)
    ):
        yield from paragraph(PLACES.get(place, place.capitalize()), wide, bold=True, holds=True)
        for check in places[place]:
            shown = finding_in_words(session, practice.engine.answer(check.id, state))
            lied = " (the owner is wrong here)" if practice.engine.lied(check.id) else ""
            hazards = _titles(session.library, check.needs.hazards)
            yield table_row((check.title, f"{shown}{lied}{hazards}"), (wide * 0.45, wide * 0.55))
        yield gap(4)


def _titles(library: Library, hazards: tuple[HazardId, ...]) -> str:
    return (
        f" [Caution: {', '.join(library.hazards[one].title.lower() for one in hazards)}]" if hazards else ""
    )
