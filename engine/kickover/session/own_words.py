"""What a rider says in own words: complaints, signs that were not asked for, and the situation.

Rare meanings count more than common ones (inverse document frequency, Sparck Jones 1972), counted over what
could be meant.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from math import log

from kickover.core.ids import EventId
from kickover.model.library import Check, Complaint, Finding, HouseEvent
from kickover.session.vocabulary import DENIED, Vocabulary, vocabulary_of

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
    rarity = _rarity([frozenset().union(*phrases) for phrases in meant.values()])
    return _Known(vocabulary, {one.id: place for place, one in enumerate(complaints)}, meant, rarity)


_MOST = 3
_SIGN_LEAST = 0.45
_SIGN_FAR_BEHIND = 0.6
_SITUATION_LEAST = 0.5


@dataclass(frozen=True, slots=True)
class Sign:
    """A finding of a check, and how well a rider's words fit it, from 0 up."""

    check: Check
    finding: Finding
    score: float


def signs(words: str, checks: Collection[Check]) -> tuple[Sign, ...]:
    """The findings that fit what was seen, best first, at most three and one for each check.

    A reading needs its number, so that measurements are left out.
    """
    asked = [check for check in checks if check.reading is None]
    vocabulary = vocabulary_of(phrase for check in asked for phrase in _told(check))
    said = vocabulary.heard(words)
    about = {check.id: vocabulary.heard(f"{check.title} {check.ask}") for check in asked}
    shown = {
        (check.id, finding.id): vocabulary.heard(" ".join((finding.title, *finding.words)))
        for check in asked
        for finding in check.findings
    }
    rarity = _rarity([about[check] | meanings for (check, _), meanings in shown.items()])
    best = [
        max(
            (
                _sign(check, finding, said, about[check.id], shown[check.id, finding.id], rarity)
                for finding in check.findings
            ),
            key=lambda sign: sign.score,
        )
        for check in asked
    ]
    best.sort(key=lambda sign: (-sign.score, sign.check.id))
    least = max([_SIGN_LEAST, *(_SIGN_FAR_BEHIND * sign.score for sign in best[:1])])
    return tuple(sign for sign in best[:_MOST] if sign.score >= least)


def situation(words: str, houses: Iterable[HouseEvent]) -> tuple[EventId, ...]:
    """What the words say of the situation, of events that exclude each other the likelier one."""
    known = tuple(houses)
    vocabulary = vocabulary_of(phrase for house in known for phrase in (house.title, house.id))
    said = vocabulary.understood(words)
    meant = {
        house.id: [vocabulary.understood(phrase) for phrase in (house.title, house.id.replace("-", " "))]
        for house in known
    }
    rarity = _rarity([frozenset().union(*phrases) for phrases in meant.values()])
    scores = {id_: max(_share(said, phrase, rarity) for phrase in phrases) for id_, phrases in meant.items()}
    found: list[EventId] = []
    for house in sorted(known, key=lambda one: (-scores[one.id], -known.index(one))):
        if scores[house.id] >= _SITUATION_LEAST and not set(house.excludes) & set(found):
            found.append(house.id)
    return tuple(house.id for house in known if house.id in found)


def _told(check: Check) -> tuple[str, ...]:
    return (
        check.title,
        check.ask,
        *(phrase for finding in check.findings for phrase in (finding.title, *finding.words)),
    )


def _rarity(bags: Collection[frozenset[str]]) -> Mapping[str, float]:
    counts = Counter(chain.from_iterable(bags))
    return {meaning: 0.3 + log(len(bags) / count) for meaning, count in counts.items()}


def _sign(
    check: Check,
    finding: Finding,
    said: frozenset[str],
    about: frozenset[str],
    shown: frozenset[str],
    rarity: Mapping[str, float],
) -> Sign:
    """How much of what was said the finding of the check explains; a bare yes or no says what is asked."""
    unknown = max(rarity.values(), default=1.0)

    def worth(meanings: frozenset[str]) -> float:
        return sum(rarity.get(meaning, unknown) for meaning in meanings)

    if not said:
        return Sign(check, finding, 0.0)
    told = said & (about | shown)
    score = worth(told) / worth(said)
    denied = any(f"{DENIED}{meaning}" in said for meaning in about)
    if finding.id in {"yes", "no"}:
        fits = (finding.id == "no") == denied
        return Sign(check, finding, score * (1.0 if fits else 0.5))
    own = shown - about
    whole = worth(told & shown) / worth(shown) if shown else 0.0
    return Sign(check, finding, (score if said & own else 0.5 * score) + 0.1 * whole)


def _share(said: frozenset[str], phrase: frozenset[str], rarity: Mapping[str, float]) -> float:
    whole = sum(rarity[meaning] for meaning in phrase)
    denied = any(f"{DENIED}{meaning}" in said for meaning in phrase)
    return 0.0 if denied or not whole else sum(rarity[meaning] for meaning in said & phrase) / whole
