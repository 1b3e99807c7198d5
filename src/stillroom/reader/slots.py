"""What is known while a note is read, and how items fill the slots of a statement."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from itertools import pairwise

from stillroom.base.statement import Amount, Context
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft, celsius
from stillroom.reader.items import Item
from stillroom.reader.lexicon import lexicon
from stillroom.reader.soundalike import known_words

_STAPLES = {"vinegar", "salt", "sugar"}

_DRYERS = {"dryer", "drier", "dehydrator", "oven", "machine"}
_LAID_ON = {"tray", "trays", "rack", "racks", "mesh", "sheet", "sheets", "parchment"}
_BESIDE = {"(", ":", ",", "-", "–", "x", "×"}
_SPOONED = {"tsp", "tbsp", "cup"}
"""Measures of what is packed; nothing is packed in vessels of that size."""
_LASTING = ("have", "load", "look", "ask", "weigh")


_THE = {"the", "that", "this", "my", "our"}
_MIXES = {"mix", "dip", "base", "rub", "salt", "tea", "starter", "sprinkle", "seasoning", "blend"}


_TO_CONDITION = (["to", "condition"], ["for", "conditioning"], ["to", "equalise"], ["to", "rest"])
_ON_TRAYS = {"dry", "damp", "crisp", "brittle", "leathery", "pliable", "tacky", "soft", "crumbly",
             "curling"}  # fmt: skip
_IN_JAR = {"clumping", "loose", "condensation", "no-mould"}


def _stage_meant(clause: Clause) -> str | None:
    """The stage that a clause without a food is about, by its signs; None when they do not tell."""
    signs = {item.value for item in clause.of("sign")}
    weighed = clause.has("amount") and any(item.low == "now" for item in clause.items)
    if weighed or clause.has("traynumber", "dryer") or signs & _ON_TRAYS:
        return "drying"
    return "conditioning" if signs & _IN_JAR or clause.has("day") else None


class Slots:
    """The statements gathered so far and the filling of slots."""

    def _of_mix(self, clause: Clause) -> bool:
        """Whether a mix is named as a thing ("half of the herb dip mix"), not as the doing."""
        if any(i.value == "blend" and i.low.split()[-1] in _MIXES for i in clause.of("act")):
            return True
        said = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        pairs = pairwise(said)
        return not clause.has("food") and any(a in _THE and b in ("mix", "blend") for a, b in pairs)

    def __init__(self, note: str, lows: Sequence[str], context: Context) -> None:
        self.note, self.lows, self.context = note, lows, context
        self.drafts: list[Draft] = []
        self.topic: str | None = None
        self.group: list[str] = []
        self.sentence = -1
        self.mode = ""
        self.asked_in = -1
        self.hanging: tuple[int, str] | None = None
        self.lasted: tuple[str | None, float, int] | None = None
        self.off: str | None = None
        self.unread: list[str] = []
        self.doubts: list[tuple[str, tuple[str, ...]]] = []
        self.moment: datetime | None = None
        self.words = lexicon()

    def _framed(self, kind: str, clause: Clause) -> Item | None:
        for item in clause.items:
            if self.words.framed(kind, self.lows, item.first):
                return item
        return None

    def note_word(self, at: int) -> str:
        """The word of a token, folded."""
        return self.lows[at]

    def _read_clause(self, clause: Clause) -> None:
        """Reads a clause: what the whole builder does with it."""
        raise NotImplementedError

    def _add(self, draft: Draft, *, deep: bool = False) -> None:
        """Appends a draft, or merges it into a neighbour with the same act and food."""
        if draft.food and not (draft.food in _STAPLES and draft.act in ("blend", "brine")):
            self.topic = draft.food
        for last in reversed(self.drafts[-3:] if not deep else self.drafts[-8:]):
            same = last.act == draft.act and (
                last.food == draft.food or (draft.act == "look" and last.food is None)
            )
            if same and draft.act not in ("ask", "amend") and not last.clashes(draft):
                if last.food is None and draft.food and not last.sign:
                    last.slots.pop("vessel", None)  # the jars gone round are no vessel of one food
                last.merge(draft)
                return
            if last.act != "amend" and last.food != draft.food and not deep:
                break
        self.drafts.append(draft)

    def _append(self, draft: Draft) -> None:
        self.drafts.append(draft)

    def _near(self, clause: Clause | None = None, stage: str | None = None) -> str | None:
        """The food that a pronoun or a silent subject means; none after a mix."""
        mixed = [draft for draft in self.drafts if draft.act == "blend"]
        if (
            len(mixed) > 1
            and self.drafts[-1].act in ("blend", "pack")
            and self.drafts[-1].food in (None, mixed[-1].food)
        ):
            return None
        return self.topic or self._staged(clause, stage) or first(self.context.foods)

    def _conditions_in(self, items: list[Item]) -> bool:
        """In a pint jar to condition, in a jar for conditioning: it has been jarred."""
        return any(
            item.kind == "vessel" and self.lows[item.last + 1 : item.last + 3] in _TO_CONDITION
            for item in items
        )

    def _staged(self, clause: Clause | None, stage: str | None) -> str | None:
        """Of the foods lately spoken of, the one that stands where the clause is about.

        "They're leathery" means what is drying, though the talk was last of what still waits.
        """
        if stage is None and clause is not None:
            jarred = self._conditions_in(clause.items)
            stage = "drying" if jarred else _stage_meant(clause)
        there = [food for _, food, at in self.context.batches if at == stage and food]
        fits = [food for food in self.context.foods if food in there]
        alone = there if len(set(there)) == 1 else []
        return first(fits or alone)

    def _draft(self, act: str, food: str | None, items: list[Item]) -> Draft:
        draft = Draft(act, food)
        real = [item for item in items if item.kind not in ("filler", "mark")] or items
        if real:
            draft.cover(min(i.start for i in real), max(i.end for i in real))
        self._fill(draft, items, kitchen=False)
        self._bare_heat_items(draft, items)
        return draft

    def _bare_heat(self, draft: Draft, clause: Clause) -> None:
        self._bare_heat_items(draft, clause.items)

    def _bare_heat_items(self, draft: Draft, items: list[Item]) -> None:
        for item in items:
            if (
                item.kind == "num"
                and self._is_heat(item)
                and draft.act in ("load", "ask", "have", "amend")
            ):
                draft.put(
                    "temperature_c", celsius(item.number, "", self.context.measure, kitchen=False)
                )

    def _is_heat(self, item: Item) -> bool:
        before = self.lows[item.first - 1] if item.first else ""
        after = self.lows[item.last + 1] if item.last + 1 < len(self.lows) else ""
        if (
            after.isalpha()
            and after not in known_words()
            and not self.words.best(self.lows, item.last + 1)
        ):
            return False
        plain = 85 <= item.number <= 200
        if before in ("at", "to") or (before == "on" and self._of_dryer(item)):
            return plain or 30 <= item.number < 85
        return plain or (before in (",", ";") and self._ends_list(item, after))

    def _of_dryer(self, item: Item) -> bool:
        """The dryer's on fifty seven."""
        return bool(_DRYERS & set(self.lows[max(0, item.first - 4) : item.first]))

    def _ends_list(self, item: Item, after: str) -> bool:
        """Three trays, 57: a bare number at the end of what a load was laid on is its heat."""
        near = self.lows[max(0, item.first - 7) : item.first]
        return (
            after in ("", ".", ",", ";", "\n")
            and 35 <= item.number < 85
            and bool(_LAID_ON & set(near))
        )

    def _fill(self, draft: Draft, items: list[Item], *, kitchen: bool) -> None:
        places = [item for item in items if item.kind == "place"]
        for item in items:
            if item.kind == "place" and (
                self._pickled_there(item) or (len(places) > 1 and self._came_from(item))
            ):
                continue
            self._slot(draft, item, kitchen)
        if "amount" not in draft.slots:
            self._bracket(draft, items)

    def _came_from(self, item: Item) -> bool:
        """From the cellar, out of the fridge: where it was, not where it is."""
        for at in range(item.first - 1, max(-1, item.first - 4), -1):
            if self.lows[at] in ("to", "into", "in", "on", "onto"):
                return False
            if self.lows[at] in ("from", "off") or self.lows[at - 1 : at + 1] == ["out", "of"]:
                return True
        return False

    def _pickled_there(self, item: Item) -> bool:
        """Fridge pickles, fridge dills: a kind of pickle, not a place."""
        at = item.last + 1
        entry = self.words.best(self.lows, at) if at < len(self.lows) else None
        return entry is not None and entry.kind == "act" and entry.value == "brine"

    def _bracket(self, draft: Draft, items: list[Item]) -> None:
        """Lemons (6); mangoes: 5 — a bare small number beside a food is a count."""
        ends = {item.last for item in items if item.kind == "food"}
        for item in items:
            if item.kind != "num" or item.number >= 60:
                continue
            beside = item.first > 1 and self.lows[item.first - 1] in _BESIDE
            if item.first - 1 in ends or (beside and item.first - 2 in ends):
                draft.put("amount", Amount("count", "count", value=item.number, si=item.number))

    def _slot(self, draft: Draft, item: Item, kitchen: bool) -> None:
        kind = item.kind
        if kind in ("cut", "size", "surface", "place"):
            self._word(draft, item)
        elif kind in ("amount", "vessel", "prep", "todo"):
            self._thing(draft, item)
        elif kind == "length":
            draft.put("thickness_mm", item.number)
        elif kind == "trays" or (kind == "hours" and self._lasts(draft, item)):
            draft.put(kind, item.number)
        elif kind == "heat":
            heat = celsius(item.number, item.scale, self.context.measure, kitchen=kitchen)
            draft.put("temperature_c", heat)
        elif kind == "seal" and draft.act == "pack" and not item.negated:
            draft.put("seal", item.value)
        elif kind == "traynumber":
            draft.put("tray", int(item.number))

    def _lasts(self, draft: Draft, item: Item) -> bool:
        """Whether hours are how long something took; "two hours ago" is a moment."""
        after = self.lows[item.last + 1 : item.last + 4]
        before = self.lows[item.first - 1] if item.first else ""
        if draft.act == "have" and not draft.prep and before in ("and", "have", "got", "only"):
            return False  # peaches and two days: how much time there is
        return draft.act in _LASTING and after[:1] != ["ago"] and after != ["or", "so", "ago"]

    def _word(self, draft: Draft, item: Item) -> None:
        """A cut, size, surface or place; a size only of food in hand or counted."""
        small = item.kind == "size" and draft.act in ("load", "weigh", "look", "pack", "use")
        if item.negated or (small and "amount" not in draft.slots):
            return
        if item.kind == "cut" and self._cut_into(item):
            draft.slots["cut"] = item.value
        draft.put(item.kind, item.value)

    def _cut_into(self, item: Item) -> bool:
        """Sliced into strips: the pieces are what it was cut into, not the cutting."""
        if not item.first or item.low.split()[0] not in ("in", "into", "lengthwise"):
            return False
        before = self.words.sense.get(self.lows[item.first - 1], [])
        return any(entry.kind == "cut" and len(entry.head) == 1 for entry in before)

    def _thing(self, draft: Draft, item: Item) -> None:
        if item.kind == "amount":
            self._amount(draft, item)
        elif item.kind == "vessel":
            draft.vessel(item)
        elif item.kind == "prep":
            self._prep(draft, item)
        elif item.negated and item.value == "peeled" and "unpeeled" not in draft.prep:
            draft.prep.append("unpeeled")

    def _amount(self, draft: Draft, item: Item) -> None:
        amount = item.amount
        if amount is None:
            return
        if (
            draft.act == "pack"
            and amount.si_unit == "ml"
            and amount.value
            and amount.unit not in _SPOONED
            and "vessel" not in draft.slots
        ):
            unit = (amount.si or 0.0) / amount.value
            draft.put("vessel_ml", round(unit))
            draft.put("vessel_count", amount.value)
            return
        if (
            draft.act == "pack"
            and "vessel" in draft.slots
            and amount.si_unit == "g"
            and (
                self.lows[item.last + 1 : item.last + 3] == ["in", "each"]
                or self.lows[item.last + 1 : item.last + 2] == ["each"]
            )
        ):
            return
        each = self.lows[item.last + 1 : item.last + 2] in (["each"], ["apiece"])
        if each and draft.act == "pack" and amount.si_unit == "ml" and "vessel" in draft.slots:
            draft.put("vessel_ml", round(amount.si_likely))
            return
        old = draft.slots.get("amount")
        if (
            old is not None
            and old.unit == "count"
            and item.article is False
            and amount.si_unit == "g"
        ):
            draft.slots.pop("amount")
        draft.put("amount", amount)

    def _prep(self, draft: Draft, item: Item) -> None:
        value = item.value
        if item.first and self.lows[item.first - 1] in ("when", "if"):
            return  # no juice when squeezed: how it was tried
        if item.negated:
            if value != "peeled":
                return
            value = "unpeeled"
        if value not in draft.prep and draft.act not in ("look", "weigh", "use", "pack", "ask"):
            draft.prep.append(value)


def first(names: Sequence[str]) -> str | None:
    """The first name, or None."""
    return names[0] if names else None
