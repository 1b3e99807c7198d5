"""From a question to its statement."""

from __future__ import annotations

from stillroom.base.statement import OVERVIEW, Amount
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.question_shapes import Shapes
from stillroom.reader.questions import KITCHEN, reason_topic
from stillroom.reader.slots import first

_STAPLES = {"vinegar", "salt", "sugar"}


_BARE = 4
_SHAKES = {"shake", "shaken", "shaking"}
_STAGE_ASKED = {
    "time": "drying",
    "dryness": "drying",
    "yield": "drying",
    "conditioning": "conditioning",
}
"""Where the food stands that a question without a food is likely about."""
_OF_A_FOOD = {"prep", "loading", "packaging", "storage", "shelf-life"}
"""Questions that, in a conversation about a food, are about that food."""


class Asking(Shapes):
    """Reads questions."""

    def _ask(self, clause: Clause) -> None:
        foods = list(dict.fromkeys(i.value for i in clause.of("food") if not self._salted(i)))
        kinds = self._kinds(clause, foods)
        if not kinds:
            self.topic = foods[-1] if foods else self.topic
            return
        if (
            not foods
            and not clause.has("pron")
            and kinds[0]
            in ("time", "stock", "yield", "safe", "loading", "jar", "prep", "shelf-life", "storage")
            and not self._ours(clause, kinds[0])
            and not self._bare_question(clause)
        ):
            self.hanging = (clause.sentence, kinds[0])
            return
        if self.hanging and self.hanging[0] == clause.sentence and foods:
            kinds = [self.hanging[1], *(kind for kind in kinds if kind != self.hanging[1])]
            self.hanging = None
        kinds = self._shake_asked(kinds, clause, foods)
        kinds = self._waiting(clause, kinds, foods)
        for about in kinds:
            for food in self._asked_foods(clause, about, foods):
                draft = Draft("ask", food)
                draft.cover(clause.start, clause.end)
                draft.slots["about"] = about
                if about == "plan" and self._how_done(clause):
                    draft.put("topic", OVERVIEW)
                if about == "why":
                    draft.put("topic", reason_topic(clause, self.lows))
                self._conditions(draft, clause, about)
                self._own_amount(draft, clause, foods)
                self._shared_cut(draft, clause, foods)
                self._question(draft)
                self.topic = food or self.topic

    def _shared_cut(self, draft: Draft, clause: Clause, foods: list[str]) -> None:
        """Two things asked of one food: its cut is asked of in both."""
        last = self.drafts[-1] if self.drafts else None
        if (
            foods
            or last is None
            or last.act != "ask"
            or last.food != draft.food
            or self.asked_in != clause.sentence
        ):
            return
        for name in ("cut", "thickness_mm"):
            draft.put(name, last.slots.get(name))

    def _waiting(self, clause: Clause, kinds: list[str], foods: list[str]) -> list[str]:
        """How long, and how hot, for pears: the food and its cut come with the second."""
        last = self.drafts[-1] if self.drafts else None
        bare = (
            last is not None
            and last.act == "ask"
            and last.food is None
            and last.slots.keys() <= {"about", "asked", "whatif"}
        )
        if last is None or not bare or self.asked_in != clause.sentence or not foods:
            self.asked_in = clause.sentence
            return kinds
        about = str(last.slots["about"])
        if about in KITCHEN or about in (*kinds, "jar", "packaging"):
            return kinds
        self.drafts.pop()
        return [about, *kinds]

    def _question(self, draft: Draft) -> None:
        """Keeps a question unless the same was just asked."""
        last = self.drafts[-1] if self.drafts else None
        if (
            last is not None and last.act == "ask"
            and last.slots.get("about") == draft.slots["about"]
            and (draft.slots["about"] in (*KITCHEN, "source", "why", "mix") or last.food is None)
            and (last.food == draft.food or last.food is None or draft.food is None)
            and not (set(draft.slots) - {"about"} and set(last.slots) - {"about"})
        ):  # fmt: skip
            last.merge(draft)
            return
        self._append(draft)

    def _shake_asked(self, kinds: list[str], clause: Clause, foods: list[str]) -> list[str]:
        """When to shake the cherries is of them; what to shake today is of all that is due."""
        said = set(self._said(clause))
        if kinds == ["due"] and foods and _SHAKES & said:
            return ["conditioning"]
        whole = not foods and not clause.has("pron") and {"today", "tomorrow", "tonight"} & said
        return ["due"] if kinds == ["conditioning"] and whole else kinds

    def _bare_question(self, clause: Clause) -> bool:
        """How long? by itself is asked of what was spoken of before."""
        return clause.ends in ("?", "") and len(self._said(clause)) < _BARE and len(self.lows) < 6

    def _ours(self, clause: Clause, about: str) -> bool:
        return (
            clause.has(
                "dried",
                "dryer",
                "trays",
                "traynoun",
                "vessel",
                "place",
                "leather",
                "cut",
                "prep",
                "todo",
                "heat",
                "length",
                "act",
            )
            or bool(self.topic)
            or about in ("stock", "safe")
            or bool({"that", "this"} & set(self._said(clause)[:3]))
        )

    def _asked_foods(self, clause: Clause, about: str, foods: list[str]) -> list[str | None]:
        if about == "plan" and not foods and clause.has("pron") and self._feasible(clause):
            return [self._near(clause)]
        if about in KITCHEN and (about not in ("history", "source", "plan") or len(foods) > 1):
            return [None]
        if about == "mix":
            return [None]
        if about == "substitute" or about == "brine":
            others = [food for food in foods if food not in _STAPLES]
            weighed = list(self._weighed(clause, others)) if about == "brine" else []
            near = self.topic if about == "substitute" else None
            near = self._near() if clause.has("pron") else near
            return [*weighed] or [others[0] if others else first(foods) or near]
        if foods:
            return list(foods)
        last = self.drafts[-1] if self.drafts else None
        carried = (
            last is not None
            and last.act == "ask"
            and last.food
            and self.asked_in == clause.sentence
        )
        dated = about == "label" and clause.has("pron")  # put a date on them
        if about in KITCHEN or (about in ("source", "mix", "label") and not dated):
            return [None]
        if (
            carried
            or clause.has("pron")
            or (about == "packaging" and {"now", "yet", "already"} & set(self._said(clause)))
            or about
            in (
                "time",
                "temperature",
                "surface",
                "dryness",
                "yield",
                "pretreat",
                "substitute",
                "conditioning",
            )
        ):
            return [None if self._kinds_of_food(clause)
                    else self._near(clause, _STAGE_ASKED.get(about))]  # fmt: skip
        general = self._kinds_of_food(clause) or self._of_mix(clause)
        if self.topic is None and about in _OF_A_FOOD and not general:
            return [self._near(clause, _STAGE_ASKED.get(about))]
        return [None]

    def _own_amount(self, draft: Draft, clause: Clause, foods: list[str]) -> None:
        """Of several foods for one jar each has the amount said before it."""
        own = self._weighed(clause, foods) if draft.slots["about"] == "brine" else {}
        if draft.food in own:
            draft.slots["amount"] = own[draft.food]

    def _weighed(self, clause: Clause, foods: list[str]) -> dict[str, Amount]:
        """The foods of one jar with their amounts, where two or more have one of their own."""
        found: dict[str, Amount] = {}
        amount: Amount | None = None
        for item in clause.items:
            if item.kind in ("amount", "num"):
                amount = item.amount or Amount("count", "count", item.number, item.number)
            elif item.kind == "food":
                if amount is not None and item.value in foods:
                    found.setdefault(item.value, amount)
                amount = None
            elif item.kind not in ("size", "cut", "prep", "dried"):
                amount = None
        return found if len(found) > 1 else {}

    def _conditions(self, draft: Draft, clause: Clause, about: str) -> None:
        kinds = {"amount", "cut", "length", "size", "place", "vessel", "heat", "surface", "hours"}
        if about in ("surface",):
            kinds -= {"surface"}
        if about == "powder":
            kinds -= {"cut"}
        if about in ("time", "shelf-life", "conditioning"):
            kinds -= {"hours"}
        if about in ("jar", "packaging", "loading", "label", "stock", "use-first"):
            kinds -= {"vessel"}
        if about in ("prep", "pretreat"):
            kinds -= {"cut"} if not _adjectival(clause) else set()
        items = [item for item in clause.items if item.kind in kinds or item.kind == "num"]
        self._fill(draft, items, kitchen=False)
        self._bare_heat(draft, clause)


def _adjectival(clause: Clause) -> bool:
    return any(
        b.kind == "food" and a.kind == "cut"
        for a, b in zip(clause.items, clause.items[1:], strict=False)
    )
