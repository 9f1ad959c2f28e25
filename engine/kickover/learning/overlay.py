"""What was learned as a file to be laid over a library; the library itself is never touched.

Only the learned numbers and their source are written; everything else stays as the library has it, also after
a change of the library. What would be no sound entry (a check that points the wrong way) is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from pathlib import Path

from kickover.authoring.sections import entries_in, singled
from kickover.authoring.source import read_folder, yaml_text
from kickover.learning.case_wording import verdict_words
from kickover.learning.learning import LearnedChance, LearnedRate, LearnedRates

SOURCE = "closed-cases"
"""The source that learned numbers name."""

_RATE_DIGITS = 3
_CHANCE_DIGITS = 4
_LEAST_CHANGE = 0.02
"""A rate that moved by a smaller share than this is left as it is."""


@dataclass(frozen=True, slots=True)
class Overlay:
    """The text of an overlay, how many entries it has, and the causes and checks left out with why."""

    text: str
    causes: int
    checks: int
    left_out: tuple[str, ...]


def overlay(
    lesson: LearnedRates,
    folder: Path,
    version: str,
    rates: bool = True,
    chances: bool = True,
    accepted: AbstractSet[str] = frozenset(),
) -> Overlay:
    """Write what was learned as an overlay of the library in `folder`, whose version is told in it.

    `rates` and `chances` say which parts are wanted. A rate that moves further than the cases support is
    written only where its cause is among those `accepted`. Numbers that stay as they are, or nearly so, are
    not written.
    """
    entries = _entries(folder)
    taken = [rate for rate in lesson.rates if rate.supported or rate.cause in accepted]
    doubted = tuple(
        f"{rate.cause}: {rate.before:.3g} to {rate.after:.3g} on {rate.cases + rate.shared} cases"
        f"{' of one import' if rate.one_import else ''} is too large a step;"
        f" take it with --accept {rate.cause}"
        for rate in lesson.rates
        if rates and not (rate.supported or rate.cause in accepted)
    )
    causes = _causes(taken, entries) if rates else {}
    checks, left_out = _checks(lesson.chances, entries) if chances else ({}, ())
    learned = {name: part for name, part in (("causes", causes), ("checks", checks)) if part}
    sections = {"sources": {SOURCE: _source(lesson)}, **learned} if learned else {}
    text = "\n".join([*_heading(lesson, version), yaml_text(sections) if sections else ""])
    return Overlay(text, len(causes), len(checks), (*doubted, *left_out))


def _entries(folder: Path) -> Mapping[tuple[str, str], Mapping[str, object]]:
    documents, _ = read_folder(folder)
    kept, _ = singled([entry for document in documents for entry in entries_in(document)[0]])
    return {key: entry.data for key, entry in kept.items()}


def _source(lesson: LearnedRates) -> Mapping[str, object]:
    return {
        "title": f"Learned from closed cases ({lesson.used})",
        "kind": "practice",
        "detail": (
            f"The library's rates counted as {lesson.strength.rates:g} cases of each cause, its chances as"
            f" {lesson.strength.chances:g} answers a line."
        ),
    }


def _heading(lesson: LearnedRates, version: str) -> Iterator[str]:
    yield f"# Learned by `kickover cases learn` from {lesson.used} of {lesson.cases} cases,"
    yield f"# over version {version} of the library. Lay it over that library; it changes nothing in it."
    yield f"# Rates: {verdict_words(lesson.rates_judged)}."
    yield f"# Chances of checks: {verdict_words(lesson.chances_judged)}."


def _causes(
    learned: Iterable[LearnedRate], entries: Mapping[tuple[str, str], Mapping[str, object]]
) -> dict[str, object]:
    found: dict[str, object] = {}
    for change in learned:
        if abs(change.after - change.before) >= _LEAST_CHANGE * change.before:
            rate = float(f"{change.after:.{_RATE_DIGITS}g}")
            found[change.cause] = {"rate": rate, "source": _with_source(entries["events", change.cause])}
    return found


def _checks(
    learned: Iterable[LearnedChance], entries: Mapping[tuple[str, str], Mapping[str, object]]
) -> tuple[dict[str, object], tuple[str, ...]]:
    by_check: dict[str, dict[int, dict[str, float]]] = {}
    for chance in learned:
        by_check.setdefault(chance.check, {}).setdefault(chance.line, {})[chance.finding] = chance.after
    found: dict[str, object] = {}
    left_out = []
    for check, lines in by_check.items():
        data = entries["checks", check]
        changed = _two_lines(data, lines) if "observes" in data else _expected(data, lines)
        if changed is None:
            left_out.append(f"{check}: in your cases it points the other way; look at how it is made")
        elif any(data.get(key) != value for key, value in changed.items()):
            found[check] = {**changed, "source": _with_source(data)}
    return found, tuple(left_out)


def _two_lines(
    data: Mapping[str, object], lines: Mapping[int, Mapping[str, float]]
) -> dict[str, object] | None:
    """Miss and false alarm of a yes/no check as learned; None where it would point the wrong way."""
    abnormal = str(data["abnormal"])
    normal = "no" if abnormal == "yes" else "yes"
    changed = {key: data[key] for key in ("miss", "false_alarm")}
    if 0 in lines:
        changed["miss"] = round(lines[0][normal], _CHANCE_DIGITS)
    if 1 in lines:
        changed["false_alarm"] = round(lines[1][abnormal], _CHANCE_DIGITS)
    miss, false_alarm = float(str(changed["miss"])), float(str(changed["false_alarm"]))
    return changed if 1.0 - miss > false_alarm else None


def _expected(data: Mapping[str, object], lines: Mapping[int, Mapping[str, float]]) -> dict[str, object]:
    expect = data["expect"]
    assert isinstance(expect, list)
    return {
        "expect": [
            {**line, "chances": _rounded(lines[place], line["chances"])} if place in lines else line
            for place, line in enumerate(expect)
        ]
    }


def _rounded(chances: Mapping[str, float], order: Iterable[str]) -> dict[str, float]:
    """Chances to few decimals that still sum to 1: the largest takes what rounding leaves."""
    rounded = {name: round(chances[name], _CHANCE_DIGITS) for name in order}
    largest = max(rounded, key=rounded.__getitem__)
    others = sum(chance for name, chance in rounded.items() if name != largest)
    rounded[largest] = round(1.0 - others, _CHANCE_DIGITS)
    return rounded


def _with_source(data: Mapping[str, object]) -> list[str]:
    written = data.get("source", [])
    before = [written] if isinstance(written, str) else list(written) if isinstance(written, list) else []
    return [*(str(source) for source in before if source != SOURCE), SOURCE]
