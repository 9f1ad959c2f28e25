"""Numbers and conditions of the model in the words that pictures use."""

from __future__ import annotations

from kickover.core.ids import TraitId
from kickover.model.library import All, Any, Cause, Condition, Is, Library, Not


def chance_words(chance: float) -> str:
    """A chance as a count of cases: 0.3 is `3 in 10`, 0.25 is `25 in 100`; two figures are kept."""
    for base in (10, 100, 1000, 10_000, 100_000):
        count = chance * base
        if abs(count - round(count)) < 1e-9 * base or count >= 10:
            return f"{round(count)} in {base}"
    return f"{chance:.1g}"


def rate_words(cause: Cause) -> str:
    """A cause's rate beside that of an occasional cause, and the author's word: `common (3 × occasional)`."""
    ratio = f"{cause.rate:g} × occasional"
    word = cause.rate_word.replace("-", " ")
    return word if word == "occasional" else f"{word} ({ratio})" if word else ratio


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
