"""From clauses to statements."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from stillroom.base.statement import Statement
from stillroom.reader.asides import Asides
from stillroom.reader.asking import Asking
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.extras import MOVED, Extras
from stillroom.reader.items import Item
from stillroom.reader.kitchen import Kitchen
from stillroom.reader.mending import left_out
from stillroom.reader.parts import Parts
from stillroom.reader.pickled import Pickled
from stillroom.reader.repairs import Repairs
from stillroom.reader.settling import Settling
from stillroom.reader.shaking import Shaking
from stillroom.reader.times import Times
from stillroom.reader.trays import Trays
from stillroom.tables.tables import tables

_OFF = {"out", "off", "done", "finished", "ready"}  # plums out: what follows was dried
_SOURED = {"vinegar", "salt", "sugar"}
_RECIPE = re.compile(
    r"\b(?:recipe|stew|soup|pie|casserole|sauce|curry|dish|cake|bread|broth|chutney|filling|salad)s?"
    r" (?:wants|needs|calls for|asks for|takes|says|has)\b"
)
_LIKE = (
    "so is",
    "so are",
    "so was",
    "so were",
    "so did",
    "the same",
    "ditto",
    "likewise",
    "same again",
)


class Builder(Repairs, Asking, Kitchen, Parts, Trays, Pickled, Asides, Settling, Shaking, Extras):
    """Gathers the statements of one note, clause by clause."""

    def run(self, clauses: Sequence[Clause]) -> list[Statement]:
        """The statements of the clauses, neighbours merged."""
        for clause in clauses:
            if clause.sentence != self.sentence:
                self.sentence, self.group, self.mode = clause.sentence, [], ""
            self._read_clause(clause)
        self._tidy()
        return [draft.statement(self.note) for draft in self.drafts]

    def _read_clause(self, clause: Clause) -> None:
        clause.items = left_out(_negate(clause.items), self.lows)
        known = len(self.drafts)
        before = {id(draft) for draft in self.drafts}
        self._sort_out(clause)
        self._shaken(clause, [draft for draft in self.drafts if id(draft) not in before])
        fresh = [draft for draft in self.drafts if id(draft) not in before]
        self._juices(clause, fresh)
        for draft in fresh:
            self._extras(draft, clause)
            if self.moment and draft.act in MOVED:
                draft.put("at", self.moment)
        self._moments(clause, told=bool(fresh))
        if len(self.drafts) == known:
            self._missed(clause)

    def _moments(self, clause: Clause, *, told: bool) -> None:
        """A moment said by itself belongs to what stands beside it: "yesterday I packed"."""
        self.moment = None
        if told or clause.asks:
            return
        found = Times(self.lows, self.context.now).find(
            clause.items[0].first, clause.items[-1].last
        )
        if found is None:
            return
        last = self.drafts[-1] if self.drafts else None
        if clause.items[0].low in ("since", "from", "at", "started") and last and last.act in MOVED:
            last.put("at", found)
        else:
            self.moment = found

    def _missed(self, clause: Clause) -> None:
        """Keeps a clause that holds an amount or a setting and made no statement."""
        shared = clause.has("food", "pron") and self._framed("share", clause)
        if clause.asks or not (clause.has("amount", "trays", "heat") or shared):
            return
        if any(draft.start <= clause.start and clause.end <= draft.end for draft in self.drafts):
            return
        self.unread.append(self.note[clause.start : clause.end][:120])

    def _sort_out(self, clause: Clause) -> None:
        if self._amend(clause):
            return
        if clause.asks:
            self._humidity_beside(clause)
            self._ask(clause)
            return
        if self._tare(clause) or self._setting(clause):
            return
        self._tell(clause)

    def _recipe_wants(self, clause: Clause) -> bool:
        """The stew wants 400 g carrots, I have dried: asked of a recipe, not food in hand."""
        words = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        foods = clause.of("food")
        dried = {"dried", "powder", "flakes", "dry", "fresh"} & set(self.lows)
        if not foods or not dried or not clause.has("amount", "num"):
            return False
        if not _RECIPE.search(" ".join(words)):
            return False
        draft = Draft("ask", foods[0].value)
        draft.cover(clause.start, clause.end)
        draft.slots["about"] = "rehydrate"
        draft.slots["asked"] = self.note[clause.start : clause.end]
        self._conditions(draft, clause, "rehydrate")
        self._append(draft)
        self.topic = foods[0].value
        return True

    def _tell(self, clause: Clause) -> None:
        if self._recipe_wants(clause):
            return
        if self._by_tray(clause) or self._given(clause) or self._aside(clause):
            return
        self._order(clause)
        clause.items = _destined(clause.items)
        parts = self._parts(clause)
        if not parts:
            return
        verbs = {item.value for item in clause.of("act")}
        if self._soured(clause) or self._mixing(clause, verbs, "brine"):
            self.mode = "brine"
        parts = self._unmeasured(parts)
        mixed = self._mixture(parts, clause)
        if mixed is not None:
            self._add(mixed)
            return
        if self._likewise(parts, clause) or self._put_away(clause) or self._potted(clause):
            return
        deep = clause.has("both") or len(parts) > 1
        known = len(self.drafts)
        for food, items in parts:
            if not self._flavours(food, items):
                self._part(food, items, clause, deep=deep)
        self._mix_packed(self.drafts[known:])

    def _flavours(self, food: str | None, items: list[Item]) -> bool:
        """Dill or garlic put into a pickle without an amount: no food of its own."""
        row = tables().foods.get(food or "")
        herb = row is not None and row.group == "herb"
        mains = [d for d in self.drafts if d.act == "brine" and d.food not in (None, food)]
        weighed = any(item.kind in ("amount", "num") for item in items)
        return herb and bool(mains) and self.mode == "brine" and not weighed

    def _part(self, food: str | None, items: list[Item], clause: Clause, *, deep: bool) -> None:
        """What a clause says of one food."""
        if food and self._left_out(food, clause):
            food = None
        drafts = self._facets(food, items, clause)
        hours = next((i.number for i in items if i.kind == "hours"), None)
        if not drafts and hours and (food or not clause.has("food", "pron")):
            self.lasted = (food, hours, clause.sentence)
        if not drafts and food and clause.has("food", "pron"):
            said = self.lows[clause.start_token : clause.stop_token]
            self.off = food if _OFF & set(said) else self.off
        self._stands(drafts)
        for draft in drafts:
            if draft.act == "use":
                self._count_taken(draft, clause)
            if draft.act in ("look", "weigh") and self.lasted:
                self._took_hours(draft, self.lasted)
            if not self._listed(draft, clause):
                self._add(draft, deep=deep)
        named = any(draft.food == food for draft in self.drafts[-4:]) or not self.mode
        seen = drafts or clause.has("food")
        if food and named and seen and not (food in _SOURED and self.mode):
            self.topic = food
            if food not in self.group:
                self.group.append(food)

    def _listed(self, draft: Draft, clause: Clause) -> bool:
        """Onions 2 kg; carrots 3 kg; both at 52: a terse list is one load for each food."""
        if draft.act != "load" or not clause.has("both") or clause.has("act", "pron"):
            return False
        for last in reversed(self.drafts[-8:]):
            if (
                last.act == "have"
                and last.food == draft.food
                and set(last.slots) <= {"amount", "size", "cut"}
                and not last.prep
            ):
                last.act = "load"
                last.merge(draft)
                return True
        return False

    def _potted(self, clause: Clause) -> bool:
        """Two 1 l jars, said by itself after a pickle: what the pickle is in."""
        if not self.drafts or self.drafts[-1].act != "brine" or not clause.has("vessel"):
            return False
        if any(i.kind not in ("vessel", "mark", "join", "filler", "word") for i in clause.items):
            return False
        brines = [draft for draft in self.drafts if draft.act == "brine"]
        main = next((d for d in brines if d.food not in (None, *_SOURED)), brines[0])
        main.vessel(clause.of("vessel")[0])
        main.cover(clause.start, clause.end)
        return True

    def _likewise(self, parts: list[tuple[str | None, list[Item]]], clause: Clause) -> bool:
        """And so is the aubergine; the limes the same: what was said last holds for it too."""
        food = parts[-1][0]
        words = " ".join(self.lows[clause.items[0].first : clause.items[-1].last + 1])
        if (
            food is None
            or not clause.has("food")
            or not self.drafts
            or not any(f" {one} " in f" {words} " for one in _LIKE)
        ):
            return False
        last = self.drafts[-1]
        if last.act not in ("load", "have", "look", "pack") or last.food == food:
            return False
        copy = Draft(last.act, food, dict(last.slots), list(last.prep), list(last.sign))
        copy.slots.pop("amount", None)
        own = self._draft(last.act, food, clause.items)
        copy.slots.update(own.slots)
        copy.cover(clause.start, clause.end)
        self._append(copy)
        return True

    def _mixture(self, parts: list[tuple[str | None, list[Item]]], clause: Clause) -> Draft | None:
        """Several foods ground or pickled without amounts: one statement without a food."""
        if len(parts) < 2 or clause.has("amount"):
            return None
        drafts = [draft for food, items in parts for draft in self._facets(food, items, clause)]
        if not drafts or any(draft.act not in ("blend", "brine") for draft in drafts):
            return None
        whole = self._draft(drafts[0].act, None, [i for i in clause.items if i.kind != "food"])
        whole.cover(clause.start, clause.end)
        return whole


def _destined(items: list[Item]) -> list[Item]:
    """Onion powder went in the chilli: the second food is the dish, not what was used."""
    out: list[Item] = []
    for place, item in enumerate(items):
        before = items[place - 1] if place else None
        dish = (
            item.kind == "food"
            and before is not None
            and before.value == "use"
            and before.low.endswith((" in the", " into the", " into", " in"))
            and any(one.kind == "food" for one in items[:place])
        )
        out.append(replace(item, kind="idiom") if dish else item)
    return out


def _negate(items: list[Item]) -> list[Item]:
    """Marks what a negating word denies; "no mould or clumps" denies both."""
    out: list[Item] = []
    left = 0
    for item in items:
        if item.kind == "neg":
            left = 5
        elif left and (_closes(item) or _noun(item, items, len(out))):
            left = 0
        elif left and item.kind in ("sign", "prep", "todo", "cut", "seal", "surface"):
            item = replace(item, negated=True)
            after = items[len(out) + 1].low if len(out) + 1 < len(items) else ""
            left = 3 if item.kind == "sign" or after in ("or", "nor") else 0
        elif left and item.kind == "sign":
            left = 0
        else:
            left = max(0, left - 1)
        out.append(item)
    return out


def _closes(item: Item) -> bool:
    return item.low in (",", "but", "just", "still") or item.kind in ("amount", "act")


def _noun(item: Item, items: list[Item], at: int) -> bool:
    """Whether a "no" has its noun already: "no stems, washed" does not deny the washing."""
    said = at > 1 and items[at - 2].low == "no" and items[at - 1].kind in ("word", "num", "trays")
    return said and item.kind in ("prep", "cut")
