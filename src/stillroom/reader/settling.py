"""What later words make of statements already gathered: places, times, mixes, weights."""

from __future__ import annotations

from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft
from stillroom.reader.slots import Slots

_SOURED = {"vinegar", "salt", "sugar"}
_VESSEL = ("vessel", "vessel_ml", "vessel_count", "place", "seal")


class Settling(Slots):
    """Puts right what a clause alone cannot know."""

    def _tidy(self) -> None:
        """A mix named before its ingredients is said by them; fresh food is had, not weighed."""
        self._weighed_fresh()
        if any(d.act == "ask" and d.slots.get("about") == "mix" for d in self.drafts):
            wanted = [d for d in self.drafts if d.act == "blend" and not d.food and not d.slots]
            self.drafts = [d for d in self.drafts if d not in wanted]
        for act in ("blend", "brine"):
            mixes = [draft for draft in self.drafts if draft.act == act]
            named = [draft for draft in mixes if draft.food or draft.slots.get("amount")]
            if named:
                self.drafts = [d for d in self.drafts if d.act != act or d in named or d.slots]

    def _weighed_fresh(self) -> None:
        """Weighed, washed and put on trays: that was food in hand, not a reading."""
        for place, draft in enumerate(self.drafts):
            same = [d for d in self.drafts[:place] if d.food == draft.food]
            later = [d.act for d in self.drafts[place + 1 :] if d.food == draft.food]
            fresh = same and all(d.act == "have" and "amount" not in d.slots for d in same)
            if draft.act == "weigh" and fresh and later[:1] in (["load"], ["have"]):
                same[-1].merge(draft)
                self.drafts.pop(place)
                return

    def _took_hours(self, draft: Draft, lasted: tuple[str | None, float, int]) -> None:
        """After seven hours the courgettes weigh 150 g: the time stood before its food."""
        food, hours, sentence = lasted
        if food == draft.food or (food is None and sentence == self.sentence):
            draft.put("hours", hours)
            self.lasted = None

    def _stands(self, drafts: list[Draft]) -> None:
        """Thirty grams of salt in the fridge: the pickle stands there, not its salt."""
        for draft in drafts:
            if draft.act != "brine" or draft.food not in _SOURED:
                continue
            main = next(
                (d for d in self.drafts if d.act == "brine" and d.food not in _SOURED), None
            )
            for name in ("place", "vessel", "vessel_ml", "vessel_count") if main else ():
                if main and name in draft.slots:
                    main.put(name, draft.slots.pop(name))

    def _put_away(self, clause: Clause) -> bool:
        """They're in the fridge, said of pickles just made: the place of the pickles."""
        kinds = {item.kind for item in clause.items}
        bare = "vessel" in kinds and kinds <= {
            "vessel",
            "word",
            "mark",
            "num",
            "place",
            "filler",
            "join",
        }
        if not bare and (
            clause.has("food", "amount", "sign", "trays")
            or not clause.has("pron")
            or not clause.has("place")
        ):
            return False
        if not self.drafts or self.drafts[-1].act != "brine":
            return False
        brines = [draft for draft in self.drafts if draft.act == "brine"]
        main = next(
            (d for d in brines if d.food not in (None, "vinegar", "salt", "sugar")), brines[0]
        )
        for item in clause.of("place"):
            main.put("place", item.value)
        for item in clause.of("vessel") if bare else ():
            main.vessel(item)
        return True

    def _mix_packed(self, fresh: list[Draft]) -> None:
        """Leek, carrot and thyme stirred up in a jar: the mix is packed, not each of them."""
        mixed = [d for d in fresh if d.act == "blend" and d.slots.get("amount")]
        held = [d for d in mixed if d.slots.get("vessel")]
        if len(mixed) < 2 or not held:
            return
        pack = Draft("pack")
        pack.cover(held[-1].start, held[-1].end)
        for draft in held:
            for name in _VESSEL:
                if name in draft.slots:
                    pack.put(name, draft.slots.pop(name))
        self._append(pack)
