"""From a rider's own words to complaints, by the meanings of the words.

Rare meanings count more than common ones (inverse document frequency, Sparck Jones 1972), counted over the
complaints themselves.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import log

from kickover.core.ids import EventId
from kickover.model.library import Complaint
from kickover.session.vocabulary import Vocabulary, vocabulary_of

_UNKNOWN_WEIGHT = 0.5
_LEAST = 0.25
_FAR_BEHIND = 0.4
_NAMED = 10.0


@dataclass(frozen=True, slots=True)
class Match:
    """A complaint and how well the words fit it, from 0 up."""

    complaint: Complaint
    score: float


def matches(words: str, complaints: Collection[Complaint]) -> tuple[Match, ...]:
    """The complaints that fit a rider's words, best first; those far behind the best are left out."""
    known = _known(tuple(complaints))
    said = known.vocabulary.understood(words)
    text = " ".join(words.lower().split())
    found = [Match(complaint, known.score(text, said, complaint)) for complaint in complaints]
    best = max((one.score for one in found), default=0.0)
    kept = [one for one in found if one.score >= max(_LEAST, _FAR_BEHIND * best)]
    return tuple(sorted(kept, key=lambda one: (-one.score, known.places[one.complaint.id])))


@dataclass(frozen=True, slots=True)
class _Known:
    """The complaints of a library by their meanings."""

    vocabulary: Vocabulary
    places: Mapping[EventId, int]
    phrases: Mapping[EventId, tuple[frozenset[str], ...]]
    rarity: Mapping[str, float]

    def score(self, text: str, said: frozenset[str], complaint: Complaint) -> float:
        """How much of what was said the complaint explains, most of all by one of its phrases."""
        if text in {complaint.id, complaint.title.lower()}:
            return _NAMED
        phrases = self.phrases[complaint.id]
        heard = self._worth(said)
        if not heard:
            return 0.0
        explained = self._worth(said & frozenset().union(*phrases))
        spoken = max(
            (self._worth(said & phrase) ** 2 / self._worth(phrase) for phrase in phrases), default=0.0
        )
        named = sum(not said.isdisjoint(phrase) for phrase in phrases) / len(phrases)
        return (spoken + 0.5 * explained) / heard + 0.1 * named

    def _worth(self, meanings: frozenset[str]) -> float:
        return sum(self.rarity.get(meaning, _UNKNOWN_WEIGHT) for meaning in meanings)


@lru_cache(maxsize=4)
def _known(complaints: tuple[Complaint, ...]) -> _Known:
    said = {one.id: (one.title, *one.words, one.id.replace("-", " ")) for one in complaints}
    vocabulary = vocabulary_of(phrase for phrases in said.values() for phrase in phrases)
    meant = {
        id_: tuple(found for phrase in phrases if (found := vocabulary.understood(phrase)))
        for id_, phrases in said.items()
    }
    counts: dict[str, int] = {}
    for phrases in meant.values():
        for meaning in frozenset().union(*phrases):
            counts[meaning] = counts.get(meaning, 0) + 1
    rarity = {meaning: 0.3 + log(len(meant) / count) for meaning, count in counts.items()}
    return _Known(vocabulary, {one.id: place for place, one in enumerate(complaints)}, meant, rarity)
