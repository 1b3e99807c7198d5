"""What a question is by its shape: can it be dried at all, how is it done, and the peppers?"""

from __future__ import annotations

from stillroom.reader.clause import Clause
from stillroom.reader.items import Item
from stillroom.reader.questions import abouts
from stillroom.reader.slots import Slots

_SHORT = 7
_AND_THE = {
    "and", "or", "what", "about", "how", "the", "for", "same", "also", "with", "then", "those",
    "my", "our", "but", "now", "ok", "so", "well", "if", "it", "is", "of", "some", "these", "too",
    "dried", "fresh", "whole", "question", "again", "as", "do", "does", "need", "needs", "want",
    "wants", "take", "takes", "go", "be", "on", "in", "at", "to",
}  # fmt: skip
"""Words of a question that only goes on to another food: "and what about the peppers"."""
_KINDS = {"herbs", "fruit", "fruits", "veg", "vegetables", "berries", "greens", "roots", "meat",
          "powder", "powders", "leather", "leathers", "pickles", "everything", "things", "stuff",
          "any", "all"}  # fmt: skip
_WHETHER = {
    "i", "we", "you", "they", "it", "them", "those", "these", "is", "to", "possible", "worth",
    "the", "my", "our", "some", "any", "well", "at", "all", "ok", "okay", "be", "of", "?", ".",
    ",", "and", "also", "too", "us",
}  # fmt: skip
_OF_ALL = {
    "how", "do", "best", "way", "tell", "me", "about", "should", "would", "go", "process", "start",
    "with", "for", "what", "what's", "'s", "know", "want", "handle", "deal",
}  # fmt: skip
_ABLE = {"can", "could", "do", "does", "may", "should"}
_DRYING = {"dry", "dried", "drying", "dries", "dehydrate", "dehydrated", "dehydrating"}


class Shapes(Slots):
    """Tells what is asked where no single word does."""

    def _kinds(self, clause: Clause, foods: list[str]) -> list[str]:
        """What is asked, by its words, by its shape, or as the question before."""
        kinds = abouts(clause, self.lows)
        if kinds == ["mix"] and foods and self._do_with(clause):
            return ["plan"]
        named = bool(foods) or clause.has("pron")
        if named and (not kinds or kinds == ["dryness"]) and self._feasible(clause):
            return ["plan"]
        kinds = kinds or self._again(clause, foods)
        if foods and not kinds and self._how_done(clause):
            return ["plan"]
        return kinds

    def _how_done(self, clause: Clause) -> bool:
        """How do I dry apples; tell me about drying plums; what about beets: all of the way."""
        said = self._said(clause)
        foods = {word for item in clause.of("food") for word in item.low.split()}
        known = foods | _DRYING | _ABLE | _WHETHER | _OF_ALL
        return bool({"how", "about", "way"} & set(said)) and set(said) <= known

    def _salted(self, item: Item) -> bool:
        """Should I salt the courgettes: a doing, not a food."""
        before = self.lows[item.first - 1] if item.first else ""
        return item.value == "salt" and before in ("i", "we", "you", "to")

    def _do_with(self, clause: Clause) -> bool:
        """What should I do with fresh food: all that may be made of it, not a mix."""
        said = " ".join(self._said(clause))
        return "do with" in said and not clause.has("dried") and "powder" not in said

    def _feasible(self, clause: Clause) -> bool:
        """Whether it asks if a food can be dried at all: "can I dry lettuce"."""
        said = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        able = said[0] in _ABLE or {"possible", "worth"} & set(said[:4])
        foods = [item.low.split() for item in clause.of("food", "amount")]
        known = {word for words in foods for word in words} | _DRYING | _ABLE | _WHETHER
        return bool(able) and bool(_DRYING & set(said)) and set(said) <= known

    def _again(self, clause: Clause, foods: list[str]) -> list[str]:
        """And the peppers? The last question, for another food."""
        extra = {item.low for item in clause.items if item.kind not in ("food", "mark", "filler")}
        if not foods or len(clause.items) > _SHORT or extra - _AND_THE:
            return []
        last = next((d.slots.get("about") for d in reversed(self.drafts) if d.act == "ask"), None)
        if last is None:
            last = next((s.about for s in reversed(self.context.last) if s.act == "ask"), None)
        return [str(last)] if last else []

    def _said(self, clause: Clause) -> list[str]:
        """The words of a clause."""
        return list(self.lows[clause.items[0].first : clause.items[-1].last + 1])

    def _kinds_of_food(self, clause: Clause) -> bool:
        """What heat for herbs, how long a mix keeps: not asked of the food before."""
        return self._of_mix(clause) or bool(_KINDS & set(self._said(clause)))
