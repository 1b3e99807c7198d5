"""Orders that are deeds, and clauses that only seem to speak of food."""

from __future__ import annotations

import itertools
from dataclasses import replace

from stillroom.reader.clause import Clause
from stillroom.reader.slots import Slots

_BEFORE_ORDER = {"then", "now", "so", "please", "and", ",", "next", "first", "ok", "okay"}
_BEFORE_THING = {"the", "a", "my", "our", "that", "and", "but", "so", "oh", ","}
_GARDENING = {"sowed", "sown", "sowing", "planted", "planting", "transplanted", "pruned", "mulched",
              "weeded", "grafted", "painted", "varnished", "germinated", "seedlings"}  # fmt: skip
_VESSEL_PARTS = {"label", "labels", "lid", "lids", "date", "dates", "tag", "sticker", "writing",
                 "handle", "picture"}  # fmt: skip


class Asides(Slots):
    """Reads orders; sets clauses aside that tell of labels, lids or the garden."""

    def _order(self, clause: Clause) -> None:
        """Blitz the celery; grind it up: an order at the head of a clause is the deed."""
        for place, item in enumerate(clause.items):
            entry = self.words.framed("order", self.lows, item.first)
            if entry is not None:
                clause.items[place] = replace(item, kind="act", value=entry.value)
                return
            if item.kind != "filler" and item.low not in _BEFORE_ORDER:
                return

    def _wanting(self, clause: Clause) -> bool:
        """We need eggs and a bag of sugar from the shop: none of it is there."""
        first = next((item.first for item in clause.items if item.kind == "food"), -1)
        words = self.lows[clause.start_token : max(first, clause.start_token)]
        return any(
            one in ("i", "we") and other == "need"
            for one, other in itertools.pairwise(words)
        )  # fmt: skip

    def _aside(self, clause: Clause) -> bool:
        """The label on the leek powder fell off: said of the label, not of leeks."""
        said = set(self.lows[clause.start_token : clause.stop_token])
        if said & _GARDENING or self._wanting(clause):
            return True
        if clause.has("amount", "sign", "prep", "pron", "trays", "heat", "hours", "act"):
            return False
        words = [self.lows[at] for at in range(clause.start_token, clause.stop_token)]
        while words and words[0] in _BEFORE_THING:
            words = words[1:]
        head = next((k for k, word in enumerate(words) if word in ("of", "on", "from")), 0)
        return 0 < head < 4 and words[head - 1] in _VESSEL_PARTS
