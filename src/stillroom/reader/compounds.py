"""A food's name before another noun: "plum job", "fig rolls" and "lettuce seed" are no food."""

from __future__ import annotations

from stillroom.reader.lexicon import HEARD, Entry
from stillroom.reader.measures import Measures
from stillroom.reader.soundalike import known_words
from stillroom.reader.spoken import is_number_word
from stillroom.reader.word_sets import word_set

_PLAIN_ENDS = ("ed", "ly", "ing")


class Compounds(Measures):
    """Knows a food's name that only describes the noun behind it."""

    def _compound(self, entry: Entry, at: int, after: int) -> bool:
        """Whether an unknown noun follows the singular name of a food that is not measured."""
        if self.lows[at].startswith(HEARD):
            return False
        if entry.head[-1] in word_set("given-name") and self._person(at, after):
            return True
        if after >= len(self.pieces):
            return False
        if self.low(after) == "of":
            return self.low(after + 1) in ("a", "an") and _singular(entry)
        return _singular(entry) and self._noun(after) and not self._amount_before(at)

    def _person(self, at: int, after: int) -> bool:
        """My son Basil, Rosemary from next door, Ginger the cat."""
        if self.low(at - 1) in word_set("kin"):
            return True
        if self.low(after) == "the":
            return self.low(after + 1) in word_set("pet")
        rest = (self.low(after), self.low(after + 1))
        return rest[0] in word_set("speaks") or " ".join(rest) in word_set("visits")

    def _noun(self, at: int) -> bool:
        low = self.low(at)
        if low in word_set("after-food-noun"):
            return True
        return (
            self.pieces[at].kind == "word" and low.isalpha() and len(low) > 2
            and not low.endswith(_PLAIN_ENDS)
            and low not in word_set("food-part") and low not in word_set("after-food")
            and not is_number_word(low) and low not in known_words()
            and self.words.best(self.lows, at) is None
        )  # fmt: skip

    def _amount_before(self, at: int) -> bool:
        """Two pounds of okra …: what is measured by weight is the food itself."""
        back = at - 1
        while back > 0 and self.low(back) in ("of", "the", "fresh", "dried", "frozen", "ripe"):
            back -= 1
        found = self._unit(back) if back >= 0 else None
        return found is not None and found[0].si_unit in ("g", "ml")


def _singular(entry: Entry) -> bool:
    last = entry.head[-1]
    return not last.endswith("s") or last.endswith(("ss", "us"))
