"""From a rider's own words to complaints, by words in common and by likeness of spelling."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher

from kickover.library.model import Complaint

_EMPTY = frozenset(
    re.findall(
        r"[a-z]+",
        """a an and at but by for from has have i in is it its my of on or so that the then this to up was
        when with engine motor bike machine just keeps get gets again""",
    )
)
_LIKENESS = 0.78
_ENDINGS = ("ing", "ed", "es", "s")


@dataclass(frozen=True, slots=True)
class Match:
    """A complaint and how well the words fit it, from 0 up."""

    complaint: Complaint
    score: float


def matches(words: str, complaints: Iterable[Complaint], least: float = 0.25) -> tuple[Match, ...]:
    """The complaints that fit a rider's words, best first."""
    said = _stems(words)
    if not said:
        return ()
    found = [Match(one, _score(words.lower(), said, one)) for one in complaints]
    return tuple(
        sorted((one for one in found if one.score >= least), key=lambda one: (-one.score, one.complaint.id))
    )


def _score(text: str, said: frozenset[str], complaint: Complaint) -> float:
    if text.strip() == complaint.id:
        return 10.0
    best = 0.0
    for phrase in (complaint.title, *complaint.words, complaint.id.replace("-", " ")):
        wanted = _stems(phrase)
        if not wanted:
            continue
        hit = sum(max(_likeness(one, other) for other in said) for one in wanted)
        whole = 0.5 if phrase.lower() in text else 0.0
        best = max(best, hit / len(wanted) * (0.6 + 0.1 * min(len(wanted), 4)) + whole)
    return best


def _likeness(one: str, other: str) -> float:
    if one == other:
        return 1.0
    ratio = SequenceMatcher(None, one, other).ratio()
    return ratio if ratio >= _LIKENESS else 0.0


def _stems(text: str) -> frozenset[str]:
    plain = text.lower().replace("won't", "will not").replace("n't", " not")
    return frozenset(_stem(word) for word in re.findall(r"[a-z]+", plain) if word not in _EMPTY)


def _stem(word: str) -> str:
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word.removesuffix(ending)
    return word
