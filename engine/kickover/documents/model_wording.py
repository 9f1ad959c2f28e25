"""Numbers and conditions of the model in the words that pictures use."""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.ids import TraitId
from kickover.documents.charts.chart import Branch, Node
from kickover.model.library import All, Any, Cause, Condition, Is, Library, Not
from kickover.units import show_number


def chance_words(chance: float) -> str:
    """A chance as a count of cases: 0.3 is `3 in 10`, 0.25 is `25 in 100`; two figures are kept."""
    for base in (10, 100, 1000, 10_000, 100_000):
        count = chance * base
        if abs(count - round(count)) < 1e-9 * base or count >= 10:
            return f"{round(count)} in {base}"
    return f"{chance:.1g}"


def rate_words(cause: Cause) -> str:
    """A cause's rate: the author's word and its weight, or the weight alone."""
    if cause.rate_word:
        return f"{cause.rate_word.replace('-', ' ')} (rate {cause.rate:g})"
    return f"rate {cause.rate:g}"


def condition_words(library: Library, condition: Condition) -> str:
    """A condition over traits or house events, in their titles."""
    match condition:
        case Is(name):
            return _title(library, name)
        case Not(part):
            return f"not {_bracketed(library, part)}"
        case All(parts):
            return " and ".join(_bracketed(library, part) for part in parts) or "always"
        case Any(parts):
            return " or ".join(_bracketed(library, part) for part in parts) or "never"


def _bracketed(library: Library, condition: Condition) -> str:
    words = condition_words(library, condition)
    return f"({words})" if isinstance(condition, All | Any) and len(condition.parts) > 1 else words


def _title(library: Library, name: str) -> str:
    trait = library.traits.get(TraitId(name))
    if trait is not None:
        return trait.title.lower()
    try:
        return library.title_of(name)  # type: ignore[arg-type]
    except KeyError:
        return name.replace("-", " ")


def minutes_words(minutes: float) -> str:
    """Minutes as a person says them: `30 seconds`, `1 minute`, `2.5 minutes`."""
    if minutes < 1:
        return f"{round(minutes * 60)} seconds"
    return "1 minute" if minutes == 1 else f"{minutes:.3g} minutes"


def branch_lines(node: Node, branch: Branch) -> Sequence[str]:
    """What stands on a branch: its label, its limits, and how likely it is if there is another way."""
    lines = [branch.label, limits_words(node, branch)]
    if len(node.branches) > 1:
        lines.append(f"({chance_words(branch.probability)})")
    return [line for line in lines if line]


def limits_words(node: Node, branch: Branch) -> str:
    """The readings that take this branch, such as `4.2 to 6.5 bar`; nothing when it has no limits."""
    unit = node.reading.unit if node.reading else ""
    low, high = branch.low, branch.high
    if low is None:
        return "" if high is None else f"below {show_number(high)} {unit}".rstrip()
    if high is None:
        return f"{show_number(low)} {unit} or more".rstrip()
    return f"{show_number(low)} to {show_number(high)} {unit}".rstrip()
