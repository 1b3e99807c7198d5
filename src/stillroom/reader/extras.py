"""Slots beyond the readings: which batch, share, moment, whether it was dated."""

from __future__ import annotations

from stillroom.base.quantity import unit_words
from stillroom.reader.batch_names import batch_name
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.items import Item
from stillroom.reader.slots import Slots
from stillroom.reader.times import Times
from stillroom.reader.word_sets import word_set

_BATCHLIKE = {
    "jar", "jars", "batch", "batches", "lot", "lots", "one", "ones", "load", "loads", "bag",
    "bags", "tray", "half", "tin", "box", "bottle", "trays",
}  # fmt: skip
_BECOMES = {"once", "when", "weigh", "weighs", "be", "until", "till", "being", "get"}
_DATED = {"dated", "labelled", "labeled", "labels"}
_CHANGES = {"thinner", "thicker", "smaller", "bigger", "hotter", "cooler", "finer", "longer"}
_SUPPOSES = (
    "what if",
    "suppose",
    "supposing",
    "if i",
    "if we",
    "would it be",
    "what would happen",
    "say i",
)
MOVED = {"have", "load", "look", "weigh", "pack", "use", "blend", "brine"}


_INTENDED = MOVED - {"have", "look", "weigh"}


class Extras(Slots):
    """Fills the slots that are not scored."""

    def _dried(self, draft: Draft, clause: Clause) -> bool:
        """Whether the food is called dried; in a jar of pickles each food for itself."""
        if any(i.kind == "food" and i.low in word_set("dried-name") for i in clause.items):
            return draft.act != "brine"
        if draft.act != "brine" or len(clause.of("food")) < 2:
            return any(self._dried_already(item, draft) for item in clause.of("dried"))
        said = False
        for item in clause.items:
            if item.kind == "food":
                if item.value == draft.food:
                    return said
                said = False
            said = said or item.kind == "dried"
        return False

    def _extras(self, draft: Draft, clause: Clause) -> None:
        """Fills them all for one statement of a clause."""
        if draft.act == "set":
            return
        if self._dried(draft, clause):
            draft.put("dried", True)
        self._which(draft, clause)
        self._batch(draft, clause)
        share = self._framed("share", clause)
        if share is not None and share.kind != "amount" and not self._sized_half(share):
            entry = self.words.framed("share", self.lows, share.first)
            draft.put("share", float(entry.value) if entry else None)
        words = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        if draft.act == "pack" and _DATED & set(words):
            draft.put("dated", True)
        if draft.act in _INTENDED and self._framed("intent", clause):
            draft.put("intended", True)
        if draft.act in MOVED:
            draft.put(
                "at",
                Times(self.lows, self.context.now).find(
                    clause.items[0].first, clause.items[-1].last
                ),
            )
        if draft.act == "ask":
            draft.put("asked", self.note[clause.start : clause.end])
            text = " ".join(words)
            if text.startswith(_SUPPOSES) or " if i " in f" {text} " or "what if" in text:
                draft.put("whatif", True)
                if _CHANGES & set(words) and draft.slots["about"] == "prep":
                    draft.slots["about"] = "time"

    def _sized_half(self, item: Item) -> bool:
        """One half-gallon jar is no half of anything."""
        entry = self.words.framed("share", self.lows, item.first)
        after = item.first + len(entry.head) if entry else item.first
        return after < len(self.lows) and self.lows[after] in unit_words()

    def _dried_already(self, item: Item, draft: Draft) -> bool:
        """Dried plums; not "how much will they weigh dried", nor "then dried at 60"."""
        before = self.lows[item.first - 1] if item.first else ""
        after = self.lows[item.last + 1] if item.last + 1 < len(self.lows) else ""
        if before in _BECOMES:
            return False
        if draft.act == "ask" and draft.slots.get("about") == "yield":
            entry = self.words.best(self.lows, item.last + 1) if after else None
            return before not in ("weigh", "much", "to", "comes") and bool(
                entry and entry.kind in ("food", "cut")
            )
        return not (after in ("at", "for", "overnight", "until", "on") and draft.act == "load")

    def _batch(self, draft: Draft, clause: Clause) -> None:
        """The batch that a clause calls by its name in the journal."""
        known = {name for name, _, _ in self.context.batches}
        for item in clause.of("food"):
            name = batch_name(self.note[item.start : item.end], item.value)
            if item.value == draft.food and name in known:
                draft.put("batch", name)

    def _which(self, draft: Draft, clause: Clause) -> None:
        if draft.act == "have" and not clause.has("dried"):
            return
        for item in clause.items:
            entry = self.words.framed("which", self.lows, item.first)
            if entry is None:
                continue
            after = item.first + len(entry.head)
            if entry.value in ("other", "another", "old") and not self._batchlike(after):
                continue
            draft.put("which", entry.value)
            return

    def _batchlike(self, at: int) -> bool:
        low = self.lows[at] if at < len(self.lows) else ""
        entry = self.words.best(self.lows, at) if low else None
        return low in _BATCHLIKE or (entry is not None and entry.kind in ("food", "dried"))

    # the empty weight of a tray or jar

    def _tare(self, clause: Clause) -> bool:
        """The empty tray weighs 400 g: told of the statement before, or by itself."""
        words = set(self.lows[clause.items[0].first : clause.items[-1].last + 1])
        mass = next((i for i in clause.of("amount") if i.amount and i.amount.si_unit == "g"), None)
        if (
            mass is None
            or mass.amount is None
            or not words & {"empty", "tare"}
            or clause.has("food")
        ):
            return False
        tare = mass.amount.si_likely
        for draft in reversed(self.drafts[-2:]):
            if draft.act in ("load", "weigh", "have"):
                draft.put("tare_g", tare)
                draft.cover(clause.start, clause.end)
                return True
        draft = Draft("set", slots={"tare_g": tare})
        draft.cover(clause.start, clause.end)
        self._append(draft)
        return True
