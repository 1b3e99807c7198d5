"""Where a report begins anew: a subject with its verb, a word that opens a clause."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.reader.items import Item
from stillroom.reader.lexicon import Lexicon, lexicon
from stillroom.reader.openers import Openers

_OPENS_ALWAYS = {
    "then", "next", "after that", "afterwards", "because", "which", "but", "so", "while",
    "although", "and then", "and after that", "as for", "oh and", "and also", "meanwhile",
    "cos", "finally", "though", "until", "till", "except", "whereas", "whilst", "if", "when",
    "unless", "anyway", "since",
}  # fmt: skip
_PREPOSITIONS = {"of", "on", "in", "with", "for", "at", "to", "into", "from", "round", "by", "like"}
LOOSE = {
    "and",
    "um",
    "uh",
    "er",
    "so",
    "then",
    "but",
    "next",
    "oh",
    "yes",
    "also",
    ",",
    "now",
    "okay",
    "right",
}
_RESUMES = {"um", "uh", "er", "they", "it", "there", "theyre", "which"}
_FINITE = {
    "is", "are", "was", "were", "'s", "'re", "has", "have", "had", "went", "feel", "feels",
    "felt", "look", "looks", "weigh", "weighs", "weighed", "day", "came", "come", "seem", "got",
    "go", "smell", "smells", "snap", "snaps", "rattle", "bend", "'ve", "i", "we", "she", "he",
    "will", "'ll", "would", "can", "could", "need", "needs", "want", "wants", "should", "must",
}  # fmt: skip
_LONGEST_PHRASE = 8  # words before a noun
HESITATIONS = {"um", "uh", "er", "erm", "ah", "mm", "hmm"}
_NP = {"cut", "prep", "dried", "size", "both", "which"}
_PUT = {"put", "popped", "stuck", "tipped", "bunged", "shoved", "chucked", "poured", "kept", "laid",
        "spread", "set", "placed", "slid", "left", "hung"}  # fmt: skip
_SOME = {"one", "two", "three", "four", "some", "a", "half", "the", "them", "it"}
_STOPS = {".", ";", "?", "!"}
_MADE = {"blend", "brine", "weigh", "look"}
_MOVES = {"load", "pack", "weigh", "use", "discard", "brine", "blend"}


class Subjects:
    """Finds where clauses of one note begin."""

    def __init__(self, items: Sequence[Item], lows: Sequence[str], note: str) -> None:
        self.items, self.lows, self.note = items, lows, note
        self.words: Lexicon = lexicon()
        self.openers = Openers(lows, self.words)
        self.at_token = {item.first: place for place, item in enumerate(items)}

    def _verb(self, at: int) -> bool:
        if at >= len(self.lows):
            return False
        if self.words.framed("copula", self.lows, at):
            return True
        item = self.at_token.get(at)
        return item is not None and self.items[item].kind in ("act", "prep", "todo", "cut")

    def _subject(self, place: int) -> bool:
        item = self.items[place]
        if item.kind == "both" and item.low.startswith("both of"):
            return self._verb(item.last + 1)
        if item.kind == "both" or item.low not in (
            "i",
            "we",
            "he",
            "she",
            "they",
            "it",
            "you",
            "there",
            "that",
            "those",
            "these",
            "theyre",
            "its",
            "somebody",
        ):
            return False
        if self.lows[item.first - 1 : item.first] and self.lows[item.first - 1] in _PREPOSITIONS:
            return False
        return item.low in ("i", "we", "theyre", "he", "she") or self._verb(item.last + 1)

    def _food_subject(self, place: int) -> bool:
        """The start of a noun phrase whose food has a verb of its own."""
        item = self.items[place]
        before = self.items[place - 1] if place else None
        if item.low == "of":
            return False
        if not self.words.framed("det", self.lows, item.first) and item.kind not in ("food", *_NP):
            return False
        if self._other_subject(place):
            return True
        if before is not None and (
            before.kind in ("amount", "act", *_NP)
            or self.words.framed("det", self.lows, before.first)
            or before.low in _PREPOSITIONS
            or before.low in ("half", "quarter", "third", "thirds", "was", "were")
        ):
            return False
        at = place
        while at < len(self.items) and at < place + 6:
            current = self.items[at]
            if current.kind in ("food", "kitchen", "dryer", "traynumber"):
                after = current.last + 1
                while after in self.at_token and self.items[self.at_token[after]].kind in (
                    "cut",
                    "leather",
                ):
                    after = self.items[self.at_token[after]].last + 1
                loose = before is None or before.low in LOOSE
                return self._finite(after) or bool(
                    loose and self.lows[after : after + 1] and self.lows[after] in _RESUMES
                )
            if (
                current.kind not in _NP
                and not self.words.framed("det", self.lows, current.first)
                and current.kind not in ("vessel", "word", "trays")
            ):
                return False
            at += 1
        return False

    def _other_subject(self, place: int) -> bool:
        """Somebody else with a verb: "and the neighbour's lent us", "my sister picked"."""
        before = self.items[place - 1].low if place else ""
        noun = self.items[place + 1] if place + 1 < len(self.items) else None
        if (
            before not in LOOSE
            or noun is None
            or noun.kind != "word"
            or self.items[place].kind == "food"
        ):
            return False
        return self._finite(noun.last + 1) or self.lows[noun.last + 1 : noun.last + 2] in (
            ["brought"],
            ["lent"],
            ["gave"],
            ["picked"],
        )

    def _finite(self, at: int) -> bool:
        if at >= len(self.lows):
            return False
        return self.lows[at] in _FINITE or self._relative(at)

    def _relative(self, at: int) -> bool:
        """The swede that came off: a subject with a clause of its own."""
        return self.lows[at] in ("that", "which") and self.lows[at + 1 : at + 2] in (
            ["came"],
            ["went"],
            ["were"],
            ["was"],
            ["is"],
            ["are"],
        )

    def _room(self, place: int) -> bool:
        """The kitchen as a subject: "…, kitchen's at 30", "the kitchen is muggy"."""
        at = place
        while at < min(len(self.items), place + _LONGEST_PHRASE) and (
            self.words.framed("det", self.lows, self.items[at].first)
            or self.items[at].low in ("only", "one", "big", "little", "back")
        ):
            at += 1
        if at >= len(self.items) or self.items[at].kind not in ("kitchen", "dryer"):
            return False
        before = self.lows[self.items[place].first - 1] if self.items[place].first else ""
        if before in _PREPOSITIONS or self.words.framed(
            "det", self.lows, self.items[place].first - 1
        ):
            return False
        room = self.items[at]
        if self.lows[room.last + 1 : room.last + 2] in (["with"], ["takes"], ["holds"]):
            return True
        return room.low.endswith("'s") or self._finite(room.last + 1)

    def _opens_after_and(self, place: int) -> bool:
        item = self.items[place]
        after = self.items[place + 1]
        if item.low == "then":
            return True
        if (
            self._subject(place + 1)
            or self._food_subject(place + 1)
            or self._room(place + 1)
            or after.low in ("then", "after", "next", "so", "now")
        ):
            return True
        follows = self.items[place + 2].low if place + 2 < len(self.items) else ""
        if after.kind == "trays" and self.lows[after.last + 2 : after.last + 4] == ["of", "them"]:
            return True
        vessel = place + 2 < len(self.items) and self.items[place + 2].kind == "vessel"
        if after.low == "filled" and vessel:
            return True
        if after.low in _PUT and follows in ("it", "them", "em", "those", "the", "that"):
            return True
        if after.kind == "act" and after.value in ("use", "discard") and (
            follows in _SOME or self._done_to_another(place)
        ):  # fmt: skip
            return True
        return after.kind == "act" and after.value in _MOVES and (
            follows in ("them", "it", "those", "em", "these", "the", "that")
            or after.low.endswith(("them", "the", "into"))
        )  # fmt: skip

    def _done_to_another(self, place: int) -> bool:
        """Binned the courgettes and gave her two jars of plums: a deed, then another food's."""
        before = next((i for i in reversed(self.items[:place]) if i.kind in ("act", "food")), None)
        after = next((i for i in self.items[place + 2 : place + 12]
                      if i.kind in ("food", "act", "join") or i.low in _STOPS), None)  # fmt: skip
        other = before is not None and after is not None and after.kind == "food"
        return other and before is not None and before.kind == "food" and before != after

    def _hesitates(self, place: int) -> bool:
        """Whether "um" stands before an item; the mm of "8 mm" is no "mm"."""
        return place > 0 and self.items[place - 1].low in HESITATIONS

    def _starts(self, place: int) -> bool:
        """What begins anew after a hesitation: a food, a determiner, an amount of a food."""
        item = self.items[place]
        if item.kind in ("food", "both", "which") or self._subject(place):
            return True
        return self.words.framed("det", self.lows, item.first) is not None or (
            item.kind == "amount"
            and any(other.kind == "food" for other in self.items[place : place + 4])
        )

    def _describes(self, place: int) -> bool:
        """A relative clause that says how the food just named looks."""
        return any(item.kind == "sign" for item in self.items[place + 1 : place + 4])

    def _mended(self, place: int) -> bool:
        """Sorry I said six trays | it was five: the value put right belongs to the repair."""
        near = self.lows[max(0, self.items[place].first - 6) : self.items[place].first]
        return "said" in near and ("sorry" in near or "i" in near)

    def _filled_into(self, place: int) -> bool:
        """Ground to powder, into a tin: the vessel begins what was done next."""
        item = self.items[place]
        if item.low != "into" or self.lows[item.first - 1 : item.first] != [","]:
            return False
        done = any(
            one.kind == "act" and one.value in _MADE
            for one in self.items[max(0, place - 9) : place]
        )
        return done and any(one.kind == "vessel" for one in self.items[place + 1 : place + 4])

    def _opens(self, place: int) -> bool:
        item = self.items[place]
        at = item.first
        before = self.lows[at - 1] if at else ""
        if self._filled_into(place):
            return True
        if self._hesitates(place) and self._starts(place):
            return True
        if item.low in ("and", "then") and place + 1 < len(self.items):
            return self._opens_after_and(place)
        if item.low in ("it", "that", "they") and self._mended(place):
            return False
        repair = self.words.framed("repair", self.lows, at)
        if repair and len(repair.head) > 1 and before not in ("not", "was", "is"):
            return True
        if item.low in ("no", "sorry") and self._hesitates(place):
            return True
        if item.low in ("which", "that") and self._describes(place):
            return False
        opener = self.words.framed("open", self.lows, at)
        named = item.kind == "idiom"  # next door opens nothing
        if opener and " ".join(opener.head) in _OPENS_ALWAYS and before != "so" and not named:
            return not (item.low == "so" and before in ("or", "and", "is", "was"))
        if before in ("and", "but", "so", "then", "because", "which", "if", "when"):
            return False
        return self._subject(place) or self._food_subject(place) or self._room(place)
