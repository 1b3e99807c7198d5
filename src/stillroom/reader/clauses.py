"""Cutting items into clauses: by marks, by words that open a clause, by a subject with its verb."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from stillroom.reader.lexicon import Lexicon, lexicon
from stillroom.reader.openers import Openers
from stillroom.reader.tagging import Item

_HARD = {".", "?", "!", "\n"}
_OPENS_ALWAYS = {"then", "next", "after that", "afterwards", "because", "which", "but", "so", "while", "although",
                 "and then", "and after that", "as for", "oh and", "and also", "meanwhile", "cos", "finally", "though",
                 "until", "till", "except", "whereas", "whilst", "if", "when", "unless", "anyway", "since"}  # fmt: skip
_PREPOSITIONS = {"of", "on", "in", "with", "for", "at", "to", "into", "from", "round", "by", "like"}
_ENDS_QUESTION = {"because", "cos", "cause", "since", "although", "though", "anyway"}
_LOOSE = {
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
_TAGS = {
    "is that right",
    "is that so",
    "is that true",
    "am i right",
    "is it true",
    "or not",
    "is that ok",
    "is that okay",
    "is that correct",
}
_IFS = {"when", "if", "suppose", "supposing", "say", "assuming"}
_HESITATIONS = {"um", "uh", "er", "erm", "ah", "mm", "hmm"}
_TAKES_BACK = {
    ":",
    "so",
    "then",
    "um",
    "uh",
    "no",
    "sorry",
    "wait",
    "actually",
    "hang",
    "on",
    "oh",
    ",",
    "nope",
    "but",
    "and",
}
_NP = {"cut", "prep", "dried", "size", "both", "which"}
_MOVES = {"load", "pack", "weigh", "use", "discard", "brine", "blend"}


@dataclass(slots=True)
class Clause:
    """A stretch of items that says one thing; ``ends`` is the mark that closed it."""

    items: list[Item] = field(default_factory=list)
    asks: bool = False
    ends: str = ""
    sentence: int = 0

    def of(self, *kinds: str) -> list[Item]:
        """The items of some kinds."""
        return [item for item in self.items if item.kind in kinds]

    def has(self, *kinds: str) -> bool:
        """Whether an item of one of these kinds is there."""
        return any(item.kind in kinds for item in self.items)

    @property
    def start(self) -> int:
        """First character."""
        return self.items[0].start

    @property
    def end(self) -> int:
        """One past the last character."""
        return self.items[-1].end


class ClauseCutter:
    """Cuts the items of one note."""

    def __init__(self, items: Sequence[Item], lows: Sequence[str], note: str) -> None:
        self.items, self.lows, self.note = items, lows, note
        self.words: Lexicon = lexicon()
        self.openers = Openers(lows, self.words)
        self.at_token = {item.first: place for place, item in enumerate(items)}

    def run(self) -> list[Clause]:
        """The clauses in order; empty ones are dropped."""
        out, sentence = [Clause()], 0
        for place, item in enumerate(self.items):
            if item.kind == "mark" and self._ends(place):
                out[-1].ends = item.low
                sentence += item.low != ";"
                out.append(Clause(sentence=sentence))
                continue
            clause = out[-1]
            asks = self.openers.breaks(item.first) and not (
                clause.asks and not self.openers.spent(clause.items[0].first, item.first)
            )
            if (
                clause.items
                and not self._led(clause)
                and not self._repairs(clause)
                and (asks or self._turns(clause, place))
            ):
                clause = Clause(sentence=sentence)
                out.append(clause)
            clause.items.append(item)
            clause.asks = clause.asks or asks or self._heads(clause)
        return self._settled([clause for clause in out if clause.items])

    def _led(self, clause: Clause) -> bool:
        """Whether a clause has only said which tray it is about to speak of."""
        return clause.has("traynumber") and not clause.has("food", "sign", "act", "amount")

    def _turns(self, clause: Clause, place: int) -> bool:
        """Whether something new begins: in a question fewer words do that than in a report."""
        if not clause.asks:
            return self._opens(place)
        item = self.items[place]
        before = self.lows[item.first - 1] if item.first else ""
        if item.low in _ENDS_QUESTION:
            return True
        if item.low in ("and", "but", "so", ",", "then") or item.low in _HESITATIONS:
            following = place + 1
            return following < len(self.items) and (
                self._reports(following) or self.openers.breaks(self.items[following].first)
                or (item.low in _HESITATIONS and (self._opens(following) or self._starts(following)))
            )  # fmt: skip
        return before in _HESITATIONS and (self._opens(place) or self._starts(place))

    def _reports(self, place: int) -> bool:
        """Whether a report begins: I, we, they with a verb of doing; a food with a verb."""
        item = self.items[place]
        before = self.lows[item.first - 1] if item.first else ""
        if before in ("so", "but") and item.low in ("they", "it", "the", "that", "those"):
            return self._subject(place) or self._food_subject(place)
        if item.low in ("i", "we", "i've", "we've"):
            return self._verb(item.last + 1) or self.lows[item.last + 1 : item.last + 2] in (
                ["'ve"],
                ["'m"],
            )
        return item.low in ("then", "after that") or self._food_subject(place)

    def _repairs(self, clause: Clause) -> bool:
        """Whether a clause is nothing yet but "no wait", "sorry", "scratch that"."""
        at, last = clause.items[0].first, clause.items[-1].last
        found = False
        while at <= last:
            entry = (
                self.words.framed("repair", self.lows, at) or self.words.framed("undo", self.lows, at)
                or self.words.framed("filler", self.lows, at)
            )  # fmt: skip
            if entry is None and self.lows[at] not in _TAKES_BACK:
                return False
            found = found or entry is None or entry.kind in ("repair", "undo")
            at += len(entry.head) if entry else 1
        return found

    def _settled(self, clauses: list[Clause]) -> list[Clause]:
        """A question mark makes its last clause ask; so does an opener at its head."""
        out: list[Clause] = []
        for before, clause in zip(clauses, clauses[1:], strict=False):
            if " ".join(item.low for item in clause.items) in _TAGS:
                before.asks = True
        for clause in clauses:
            clause.asks = clause.asks or clause.ends == "?" or self._wonders(clause)
            before = out[-1] if out else None
            if (
                clause.asks
                and before
                and before.sentence == clause.sentence
                and self._supposes(before)
            ):
                clause.items = [*before.items, *clause.items]
                out[-1] = clause
                continue
            out.append(clause)
        return out

    def _supposes(self, clause: Clause) -> bool:
        """If I dry five kilos: what is supposed belongs to the question that follows."""
        return not clause.asks and clause.items[0].low in _IFS

    def _wonders(self, clause: Clause) -> bool:
        """A sentence that begins with a question word or a turned verb, or asks "jars or bags"."""
        first = clause.items[0].first
        before = self.lows[first - 1] if first else "."
        if before not in _HARD and before not in _LOOSE:
            return False
        return (before in _HARD and self.openers.leads(first)) or self.openers.offers(
            first, clause.items[-1].last
        )

    def _heads(self, clause: Clause) -> bool:
        return len(clause.items) < 12 and self.openers.heads(
            clause.items[0].first, clause.items[-1].last
        )

    def _ends(self, place: int) -> bool:
        low = self.items[place].low
        if low == ";":
            return not self._terse(place)
        if low not in _HARD:
            return False
        follows = self.items[place + 1] if place + 1 < len(self.items) else None
        if low == "." and follows and self.note[follows.start].isupper():
            return True
        if low == "." and place and self.items[place - 1].kind in ("amount", "length", "hours"):
            after = self.items[place + 1] if place + 1 < len(self.items) else None
            unit = self.items[place - 1].low.split()[-1]
            if after and unit in (
                "lb",
                "lbs",
                "oz",
                "in",
                "hr",
                "hrs",
                "min",
                "mins",
                "pt",
                "qt",
                "tsp",
                "tbsp",
                "gal",
            ):
                return after.kind not in (
                    "word",
                    "act",
                    "prep",
                    "trays",
                    "num",
                ) and after.low not in (",",)
        return True

    def _opens(self, place: int) -> bool:
        item = self.items[place]
        at = item.first
        before = self.lows[at - 1] if at else ""
        if before in _HESITATIONS and self._starts(place):
            return True
        if item.low in ("and", "then") and place + 1 < len(self.items):
            return self._opens_after_and(place)
        if item.low in ("it", "that", "they") and self._mended(place):
            return False
        repair = self.words.framed("repair", self.lows, at)
        if repair and len(repair.head) > 1 and before not in ("not", "was", "is"):
            return True
        if item.low in ("no", "sorry") and before in _HESITATIONS:
            return True
        if item.low in ("which", "that") and self._describes(place):
            return False
        opener = self.words.framed("open", self.lows, at)
        if opener and " ".join(opener.head) in _OPENS_ALWAYS and before not in ("so",):
            return not (item.low == "so" and before in ("or", "and", "is", "was"))
        if before in ("and", "but", "so", "then", "because", "which", "if", "when"):
            return False
        return self._subject(place) or self._food_subject(place) or self._room(place)

    def _room(self, place: int) -> bool:
        """The kitchen as a subject: "…, kitchen's at 30", "the kitchen is muggy"."""
        at = place
        while at < len(self.items) and (
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

    def _terse(self, place: int) -> bool:
        """A trait after a semicolon ("; mesh; 55 C") goes on with the same list."""
        for item in self.items[place + 1 :]:
            if item.kind == "mark" and item.low in (*_HARD, ";"):
                break
            if item.kind in (
                "food",
                "pron",
                "both",
                "act",
                "sign",
                "amount",
                "vessel",
                "kitchen",
                "dryer",
                "hours",
            ):
                return False
        return True

    def _describes(self, place: int) -> bool:
        """A relative clause that says how the food just named looks."""
        return any(item.kind == "sign" for item in self.items[place + 1 : place + 4])

    def _mended(self, place: int) -> bool:
        """Sorry I said six trays | it was five: the value put right belongs to the repair."""
        near = self.lows[max(0, self.items[place].first - 6) : self.items[place].first]
        return "said" in near and ("sorry" in near or "i" in near)

    def _starts(self, place: int) -> bool:
        """What begins anew after a hesitation: a food or a determiner, an amount of another food."""
        item = self.items[place]
        if item.kind in ("food", "both", "which") or self._subject(place):
            return True
        return self.words.framed("det", self.lows, item.first) is not None or (
            item.kind == "amount"
            and any(other.kind == "food" for other in self.items[place : place + 4])
        )

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
        return after.kind == "act" and after.value in _MOVES and (
            follows in ("them", "it", "those", "em", "these", "the", "that") or after.low.endswith(("them", "the", "into"))
        )  # fmt: skip

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
        ):
            return False
        at = place
        while at < len(self.items) and at < place + 6:
            current = self.items[at]
            if current.kind in ("food", "kitchen", "dryer"):
                after = current.last + 1
                while after in self.at_token and self.items[self.at_token[after]].kind in (
                    "cut",
                    "leather",
                ):
                    after = self.items[self.at_token[after]].last + 1
                loose = before is None or before.low in _LOOSE
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
        """Somebody or something else with a verb: "and the neighbour's lent us", "my sister picked"."""
        before = self.items[place - 1].low if place else ""
        noun = self.items[place + 1] if place + 1 < len(self.items) else None
        if (
            before not in _LOOSE
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
        return at < len(self.lows) and self.lows[at] in {
            "is",
            "are",
            "was",
            "were",
            "'s",
            "'re",
            "has",
            "have",
            "had",
            "went",
            "feel",
            "feels",
            "felt",
            "look",
            "looks",
            "weigh",
            "weighs",
            "weighed",
            "day",
            "came",
            "come",
            "seem",
            "got",
            "go",
            "smell",
            "smells",
            "snap",
            "snaps",
            "rattle",
            "bend",
            "'ve",
            "i",
            "we",
            "she",
            "he",
        }
