"""The entries that a few words are about.

Meanings are weighed as for a rider's own words, here counted over the titles and words of all entries.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from math import log

from kickover.session.vocabulary import vocabulary_of

LEAST = 0.5
"""So much of what was said, by rarity, an entry must be about."""
FAR_BEHIND = 0.7
UNKNOWN = 0.5
"""What a word is worth that nothing is about."""


def about(words: str, told: Mapping[str, str]) -> tuple[str, ...]:
    """The keys of what was `told` that the words are about, best first; those far behind are left out."""
    vocabulary = vocabulary_of(told.values())
    said = vocabulary.understood(words)
    meant = {key: vocabulary.understood(text) for key, text in told.items()}
    counts = Counter(meaning for meanings in meant.values() for meaning in meanings)
    rarity = {meaning: log((1 + len(told)) / count) for meaning, count in counts.items()}
    worth = {meaning: rarity.get(meaning, UNKNOWN) for meaning in said}
    heard = sum(worth.values())
    if not heard:
        return ()
    scores = {key: sum(worth[one] for one in said & meanings) / heard for key, meanings in meant.items()}
    least = max(LEAST, FAR_BEHIND * max(scores.values(), default=0.0))
    fitting = [key for key, score in scores.items() if score >= least]
    return tuple(sorted(fitting, key=lambda key: (-scores[key], len(meant[key]))))
