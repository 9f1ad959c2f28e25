"""From a rider's own words to complaints: by words, by others of the same meaning, by likeness of spelling.

Rare words count more than common ones (inverse document frequency, Sparck Jones 1972), counted over the
complaints themselves.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from math import log

from kickover.core.near_names import nearest
from kickover.model.library import Complaint

_EMPTY = frozenset(
    re.findall(
        r"[a-z]+",
        """a am an and any are at be been but by can did do does for from get gets go got had has have i if
        in is it its just keep keeps me my of on or our please so some than that the then there this to
        was we were when will with you your engine motor bike moped scooter machine""",
    )
)
_SAME = (
    ("not", "no never without nothing wont doesnt didnt cant cannot isnt refuse refuses hardly"),
    ("start", "starts starting started startup"),
    ("fuel", "petrol gas gasoline juice"),
    ("die", "dies died dying stalls stall stalled quits quit conks"),
    ("shake", "shakes vibration vibrates vibrating vibrate judders judder shudders shudder wobbles"),
    ("leak", "leaks leaking drips drip dripping"),
    ("smoke", "smokes smoking smoky fumes"),
    ("noise", "noisy noises rattle rattles clatter squeal squeals squeak squeaks grinding grinds"),
    ("stored", "storage stood standing sitting winter months parked laid"),
    ("hot", "warm warmed heat"),
    ("cold", "morning frost freezing"),
    ("locked", "locks jammed stuck seized seize"),
    ("power", "weak slow sluggish gutless pull pulls underpowered"),
    ("spark", "sparks sparking"),
    ("loose", "loosen loosens undone"),
    ("idle", "idles idling tickover"),
    ("fast", "races racing revs high screams"),
    ("backfire", "backfires backfiring pops popping bangs bang"),
    ("work", "worked rebuild rebuilt repair repaired service serviced fitted"),
)
_MEANS = {word: head for head, words in _SAME for word in (head, *words.split())}
_LIKENESS = 0.78
_ENDINGS = ("ing", "ed", "es", "s")
_UNKNOWN_WEIGHT = 0.6


@dataclass(frozen=True, slots=True)
class Match:
    """A complaint and how well the words fit it, from 0 up."""

    complaint: Complaint
    score: float


def matches(words: str, complaints: Collection[Complaint], least: float = 0.4) -> tuple[Match, ...]:
    """The complaints that fit a rider's words, best first; those far behind the best are left out."""
    phrases = {complaint.id: [_stems(phrase) for phrase in _phrases(complaint)] for complaint in complaints}
    rarity = _rarity([frozenset().union(*known) for known in phrases.values()])
    said = frozenset(_understood(word, rarity) for word in _words(words))
    if not said:
        return ()
    text = " ".join(words.lower().split())
    found = [
        Match(complaint, _score(text, said, complaint, phrases[complaint.id], rarity))
        for complaint in complaints
    ]
    best = max((one.score for one in found), default=0.0)
    kept = [one for one in found if one.score >= max(least, 0.6 * best)]
    return tuple(sorted(kept, key=lambda one: (-one.score, one.complaint.id)))


def _phrases(complaint: Complaint) -> tuple[str, ...]:
    return (complaint.title, *complaint.words, complaint.id.replace("-", " "))


def _rarity(bags: Collection[frozenset[str]]) -> Mapping[str, float]:
    counts: dict[str, int] = {}
    for bag in bags:
        for stem in bag:
            counts[stem] = counts.get(stem, 0) + 1
    return {stem: 0.3 + log(len(bags) / count) for stem, count in counts.items()}


def _score(
    text: str,
    said: frozenset[str],
    complaint: Complaint,
    phrases: Collection[frozenset[str]],
    rarity: Mapping[str, float],
) -> float:
    """How much of what was said the complaint explains, and how much of one of its phrases was said."""
    if text in {complaint.id, complaint.title.lower()}:
        return 10.0
    bag = frozenset().union(*phrases)
    explained = weight = 0.0
    for stem in said:
        near, likeness = max(
            ((one, _likeness(stem, one)) for one in bag), key=lambda pair: (pair[1], pair[0])
        )
        worth = rarity[near] if likeness else rarity.get(stem, _UNKNOWN_WEIGHT)
        explained += worth * likeness
        weight += worth
    spoken = 0.0
    for phrase in phrases:
        whole = sum(rarity[stem] for stem in phrase)
        if whole:
            likeness = sum(rarity[stem] * max(_likeness(stem, other) for other in said) for stem in phrase)
            spoken = max(spoken, likeness / whole)
    exact = 0.5 if any(f" {phrase.lower()} " in f" {text} " for phrase in complaint.words) else 0.0
    return explained / weight + 0.6 * spoken + exact


def _likeness(one: str, other: str) -> float:
    if one == other:
        return 1.0
    if min(len(one), len(other)) < 4:
        return 0.0
    ratio = SequenceMatcher(None, one, other).ratio()
    return ratio if ratio >= _LIKENESS else 0.0


def _stems(text: str) -> frozenset[str]:
    return frozenset(_stem(word) for word in _words(text))


def _words(text: str) -> list[str]:
    plain = re.sub(r"(\w)['’](\w)", r"\1\2", text.lower())
    return [word for word in re.findall(r"[a-z]+", plain) if word not in _EMPTY]


def _understood(word: str, rarity: Mapping[str, float]) -> str:
    """The stem of a word; of a misspelt one, what the word that it nearly is means."""
    stem = _stem(word)
    near = nearest(word, tuple(_MEANS)) if stem not in rarity and len(word) >= 5 else ""
    return _MEANS[near] if near and _likeness(word, near) else stem


def _stem(word: str) -> str:
    if word in _MEANS:
        return _MEANS[word]
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            stem = word.removesuffix(ending)
            return _MEANS.get(stem, stem)
    return word
