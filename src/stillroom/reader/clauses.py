"""Cutting items into clauses: by marks, by words that open one, by questions."""

from __future__ import annotations

import itertools

from stillroom.reader.clause import Clause
from stillroom.reader.subjects import HESITATIONS, LOOSE, Subjects

_HARD = {".", "?", "!", "\n"}
_ENDS_QUESTION = {"because", "cos", "cause", "since", "although", "though", "anyway"}
_TAGS = {
    "is that right",
    "is that so",
    "is that true",
    "am i right",
    "is it true",
    "or not",
    "do you agree",
    "is that ok",
    "is that okay",
    "is that correct",
}
_DASHES = {"-", "–", "—"}
_FRAGMENT = 12
_MIX_WORDS = {"mix", "mixes", "blend", "seasoning", "rub"}
_LONGEST_REPAIR = 16  # words
_LONGEST_CLAUSE = 250  # items; nobody speaks so long of one thing, and time grows with it
_IFS = {"when", "if", "suppose", "supposing", "say", "assuming"}
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


class ClauseCutter(Subjects):
    """Cuts the items of one note."""

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
                and (asks or self._turns(clause, place))
                and not self._led(clause)
                and not self._repairs(clause)
            ) or len(clause.items) >= _LONGEST_CLAUSE:
                clause = Clause(sentence=sentence)
                out.append(clause)
            clause.items.append(item)
            clause.asks = clause.asks or asks or self._heads(clause)
        return self._settled([clause for clause in out if clause.items])

    def _led(self, clause: Clause) -> bool:
        """Whether a clause has only said which tray it is about to speak of."""
        done = any(item.value != "weigh" for item in clause.of("act"))
        return clause.has("traynumber") and not done and not clause.has("food", "sign", "amount")

    def _turns(self, clause: Clause, place: int) -> bool:
        """Whether something new begins: in a question fewer words do that than in a report."""
        if not clause.asks:
            return self._opens(place)
        item = self.items[place]
        repair = self.words.framed("repair", self.lows, item.first)
        if repair and repair.head[-1] in ("meant", "wait") and len(repair.head) > 1:
            return True
        if item.low in _ENDS_QUESTION:
            return True
        if item.low == "and" and self._only_subject(clause):
            return False
        if item.low in ("and", "but", "so", ",", "then") or item.low in HESITATIONS:
            following = place + 1
            return following < len(self.items) and (
                self._reports(following) or self.openers.breaks(self.items[following].first)
                or (item.low in HESITATIONS
                    and (self._opens(following) or self._starts(following)))
            )  # fmt: skip
        return self._hesitates(place) and (self._opens(place) or self._starts(place))

    def _only_subject(self, clause: Clause) -> bool:
        """Can turnips | and carrots go in together: the verb of the question is to come."""
        kinds = {item.kind for item in clause.items[1:]}
        return (
            "food" in kinds
            and kinds <= {"food", "cut", "prep", "dried", "size"}
            and (self.openers.strength(clause.items[0].first) != 0)
        )

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
        if last - at > _LONGEST_REPAIR:
            return False
        while at <= last:
            entry = (
                self.words.framed("repair", self.lows, at)
                or self.words.framed("undo", self.lows, at)
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
        for before, clause in itertools.pairwise(clauses):
            if " ".join(item.low for item in clause.items) in _TAGS:
                before.asks = True
        for clause in clauses:
            clause.asks = clause.asks or clause.ends == "?" or self._wonders(clause)
            last = out[-1] if out else None
            joins = last and (self._supposes(last) or self._chooses(last, clause))
            if clause.asks and last and last.sentence == clause.sentence and joins:
                clause.items = [*last.items, *clause.items]
                out[-1] = clause
                continue
            out.append(clause)
        return out

    def _chooses(self, offer: Clause, clause: Clause) -> bool:
        """Leather or slices, which is better: the choice belongs to its question."""
        first, last = offer.items[0].first, offer.items[-1].last
        return clause.items[0].low == "which" and self.openers.offers(first, last)

    def _supposes(self, clause: Clause) -> bool:
        """If I dry five kilos: what is supposed belongs to the question that follows."""
        return not clause.asks and clause.items[0].low in _IFS

    def _wonders(self, clause: Clause) -> bool:
        """A sentence that begins with a question word or a turned verb, or asks "jars or bags"."""
        first = clause.items[0].first
        before = self.lows[first - 1] if first else "."
        if before not in _HARD and before not in LOOSE:
            return False
        return (
            (before in _HARD and self.openers.leads(first))
            or self.openers.offers(first, clause.items[-1].last)
            or self._names_topic(clause)
            or self._orders_mix(clause)
            or self._tagged(clause)
        )

    def _tagged(self, clause: Clause) -> bool:
        """You can leave it on all night, is that right: a tag at the end asks."""
        words = self.lows[
            max(clause.items[0].first, clause.items[-1].last - 3) : clause.items[-1].last + 1
        ]
        tags = tuple(tag for tag in _TAGS if tag.startswith(("is", "am", "do")))
        return " ".join(words).endswith(tags)

    def _orders_mix(self, clause: Clause) -> bool:
        """Make three jars of herb mix: what goes in is asked."""
        words = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        return words[:1] == ["make"] and bool(_MIX_WORDS & set(words)) and not clause.has("amount")

    def _names_topic(self, clause: Clause) -> bool:
        """Drying time for pears; cost of ten hours: a topic without verb or value is asked."""
        if len(clause.items) > _FRAGMENT or clause.has("act", "pron", "sign", "trays"):
            return False
        topic = self._framed_at("topic", clause)
        if topic < 0:
            return False
        entry = self.words.framed("topic", self.lows, topic)
        after = topic + len(entry.head) if entry else topic
        while after < len(self.lows) and self.lows[after] in (":", "-", "about"):
            after += 1
        place = self.at_token.get(after)
        values = {"num", "heat", "hours", "clock"}
        if entry and entry.value == "energy":
            values -= {"hours"}
        told = place is not None and self.items[place].kind in values
        return not told and not any(
            self.words.framed("copula", self.lows, item.first)
            or self.words.framed("subject", self.lows, item.first)
            for item in clause.items
        )

    def _framed_at(self, kind: str, clause: Clause) -> int:
        """Where a grammar phrase of one kind begins in a clause, or -1."""
        return next(
            (at for at in range(clause.items[0].first, clause.items[-1].last + 1)
             if self.words.framed(kind, self.lows, at)), -1,
        )  # fmt: skip

    def _heads(self, clause: Clause) -> bool:
        return len(clause.items) < 12 and self.openers.heads(
            clause.items[0].first, clause.items[-1].last
        )

    def _ends(self, place: int) -> bool:
        low = self.items[place].low
        if low == ";":
            return not self._terse(place)
        if low in _DASHES:
            return self._goes_into(place)
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
                if after.kind == "food" and not self._named_before(place):
                    return False
                return after.kind not in (
                    "word",
                    "act",
                    "prep",
                    "trays",
                    "num",
                ) and after.low not in (",",)
        return True

    def _goes_into(self, place: int) -> bool:
        """Stew mix - leeks, thyme - into 3 bags: what became of a mix begins anew."""
        follows = self.items[place + 1] if place + 1 < len(self.items) else None
        packs = follows is not None and follows.kind == "act" and follows.value == "pack"
        made = {item.value for item in self.items[:place] if item.kind == "act"}
        return packs and bool(made & {"blend", "brine"})

    def _named_before(self, place: int) -> bool:
        """Whether the list that an amount stands in has named its food: not in "2 lbs. plums"."""
        for item in reversed(self.items[:place]):
            if item.kind == "mark" and item.low in (*_HARD, ";", ","):
                return False
            if item.kind == "food":
                return True
        return False

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
