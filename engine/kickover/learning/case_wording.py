"""A case in words for people."""

from __future__ import annotations

from collections.abc import Iterator

from kickover.learning.case import Case
from kickover.learning.learning import Judged, LearnedChance, LearnedRates, LearningVerdict
from kickover.learning.notation import write_causes, write_seen
from kickover.model.library import All, Any, Condition, Is, Library, Not


def case_lines(case: Case, library: Library) -> Iterator[str]:
    """One case in full."""
    yield f"{case.id}  {case.date}"
    yield f"  machine:    {case.machine}"
    yield f"  complaint:  {', '.join(_title(library, complaint) for complaint in case.complaints)}"
    if case.given:
        yield f"  situation:  {', '.join(_title(library, house) for house in case.given)}"
    causes = " or ".join(" and ".join(_title(library, cause) for cause in both) for both in case.causes)
    yield f"  cause:      {causes} ({write_causes(case.causes)}; {case.confirmed.value})"
    if case.repair:
        yield f"  repair:     {case.repair}"
    if case.minutes is not None:
        yield f"  minutes:    {case.minutes:.4g}"
    for seen in case.seen:
        yield f"  saw:        {write_seen((seen,))}"
    if case.library:
        yield f"  library:    {case.library}"


def case_line(case: Case) -> str:
    """One case on one line, for a list."""
    complaints = ", ".join(case.complaints)
    return f"{case.date}  {case.machine}  {complaints}: {write_causes(case.causes)}  [{case.id}]"


def _title(library: Library, event: str) -> str:
    try:
        return library.title_of(event)  # type: ignore[arg-type]
    except KeyError:
        return event


def verdict_words(judged: Judged) -> str:
    """The judgement as one clause."""
    loss = f"log loss {judged.before:.4f} before, {judged.after:.4f} after, on {judged.number} held back"
    interval = f"gain {judged.gain:+.4f}, 95 % from {judged.low:+.4f} to {judged.high:+.4f}"
    match judged.verdict:
        case LearningVerdict.HELPS:
            return f"recommended; learning helps ({loss}; {interval})"
        case LearningVerdict.UNCLEAR:
            return f"not recommended; it cannot be told whether learning helps ({loss}; {interval})"
        case LearningVerdict.HURTS:
            return f"not recommended; learning does not help ({loss}; {interval})"
        case LearningVerdict.TOO_FEW:
            return f"not recommended; {judged.number} held back are too few to judge"


def lesson_lines(lesson: LearnedRates, library: Library, most: int) -> Iterator[str]:
    """The lesson as lines of text: at most so many rates and chances, the most changed first."""
    yield f"{lesson.used} of {lesson.cases} cases used"
    for reason, number in lesson.passed_over.items():
        yield f"  {number} passed over: {reason}"
    yield ""
    yield "Rates (relative: causes that cases link keep their sum), with the middle 95 %:"
    yield f"  {'before':>8} {'after':>8} {'from':>8} {'to':>8} {'cases':>7} {'shared':>7}  cause"
    for rate in sorted(lesson.rates, key=lambda rate: -_change(rate.before, rate.after))[:most]:
        yield (
            f"  {rate.before:8.3g} {rate.after:8.3g} {rate.low:8.3g} {rate.high:8.3g} {rate.cases:7}"
            f" {rate.shared:7}  {library.title_of(rate.cause)} ({rate.cause})"
        )
    yield from _more(len(lesson.rates), most)
    yield f"Rates: {verdict_words(lesson.rates_judged)}."
    yield ""
    yield "Chances of findings, with the middle 95 %:"
    yield f"  {'before':>7} {'after':>7} {'from':>7} {'to':>7} {'seen':>8} {'of':>8}  check, when, finding"
    for chance in sorted(lesson.chances, key=lambda chance: -abs(chance.after - chance.before))[:most]:
        yield (
            f"  {chance.before:7.3f} {chance.after:7.3f} {chance.low:7.3f} {chance.high:7.3f}"
            f" {chance.answers:8.4g} {chance.of:8.4g}  {_which(library, chance)}"
        )
    yield from _more(len(lesson.chances), most)
    yield f"Chances: {verdict_words(lesson.chances_judged)}."


def _which(library: Library, chance: LearnedChance) -> str:
    check = library.checks[chance.check]
    when = check.lines[chance.line].when
    return f"{check.id}, {_condition(when) or 'otherwise'}: {chance.finding}"


def _condition(condition: Condition) -> str:
    match condition:
        case Is(name):
            return name
        case Not(part):
            return f"not {_condition(part)}"
        case All(parts):
            return " and ".join(_condition(part) for part in parts)
        case Any(parts):
            return f"({' or '.join(_condition(part) for part in parts)})"


def _change(before: float, after: float) -> float:
    return max(before, after) / min(before, after)


def _more(number: int, most: int) -> Iterator[str]:
    if number > most:
        yield f"  and {number - most} more, which changed less (--json shows all)"
