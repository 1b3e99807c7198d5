"""Concepts that a note's words name, for the hazard rules: knowledge/concepts.csv.

The pattern language stands in ``concept_patterns``. A phrase of the set ``@ignore`` is blanked
first: beef tomatoes are no beef. A gap never leaves its window (see ``mention_words``) and never
steps into a negation.

A mention is negated when a negating word stands before it in its clause ("no fizzing", "never
froze it", "rather than vacuum sealing"). A concept whose note says ``guard`` makes things safe
("heated to 160 F"); for it "not sure whether" counts as a negation, because a doubt is no
safeguard. A concept whose note says ``context`` only tells what the talk is about ("didn't rinse
the lime off the pickles" is about pickles all the same), so no negation is looked for.
"""

from __future__ import annotations

from stillroom.base.statement import Mention
from stillroom.reader.concept_patterns import (
    Concepts,
    Element,
    Entry,
    Index,
    Sequence,
    shipped_concepts,
)
from stillroom.reader.mention_negation import denied_after, doubted, negators
from stillroom.reader.mention_numbers import Measure, measures
from stillroom.reader.mention_words import Token, number_windows, tokens

_NOWHERE: frozenset[int] = frozenset()


def _spells(piece: list[Token], phrase: tuple[str, ...]) -> bool:
    return len(piece) == len(phrase) and all(
        word in token.forms for word, token in zip(phrase, piece, strict=True)
    )


def _blank(found: list[Token], ignored: dict[str, list[tuple[str, ...]]]) -> None:
    """Take the forms from phrases that only look like a concept ("beef tomatoes").

    The whole phrase stays as one word, which patterns may name: ``chicken-wire``.
    """
    for at, token in enumerate(found):
        for form in token.forms:
            for phrase in ignored.get(form, ()):
                piece = found[at : at + len(phrase)]
                if _spells(piece, phrase):
                    for part in piece:
                        part.forms, part.text = frozenset(), "·"
                    token.forms = frozenset(("-".join(phrase),))


class Matcher:
    """One note against all concepts; every start costs a bounded number of steps."""

    def __init__(self, text: str, concepts: Concepts) -> None:
        self.found = tokens(text)
        _blank(self.found, concepts.ignored)
        number_windows(self.found, concepts.topics)
        self.concepts = concepts
        self.measures = measures(self.found)
        self.negators = negators(self.found)
        self.forms = frozenset[str]().union(*(token.forms for token in self.found))
        self.sets: dict[int, dict[str, set[int]]] = {}
        for at in range(len(self.found) - 1, -1, -1):
            self._close_sets(at)

    def _close_sets(self, at: int) -> None:
        """Which sets a word begins a member of; sets may name sets, hence until nothing is new."""
        here: dict[str, set[int]] = {}
        self.sets[at] = here
        todo = list(self._candidates(self.concepts.set_index, at))
        while todo:
            entry = todo.pop()
            ends = self._set_ends(entry, at)
            known = here.setdefault(entry.concept, set()) if ends else set()
            if not ends <= known:
                known |= ends
                todo.extend(self.concepts.set_index.sets.get(entry.concept, ()))
        if not here:
            del self.sets[at]

    def _candidates(self, index: Index, at: int) -> list[Entry]:
        token = self.found[at]
        out: list[Entry] = []
        for form in sorted(token.forms):  # in the same order in every run of the program
            out.extend(index.words.get(form, ()))
        text = token.text
        for size in range(3, min(len(text), index.longest_stem) + 1):
            if text[:size] in index.stems:
                out.extend(index.stems[text[:size]])
        for name in self.sets.get(at, ()):
            out.extend(index.sets.get(name, ()))
        if index.tests:
            for measure in self.measures.get(at, ()):
                out.extend(index.tests.get(measure.kind, ()))
        return out

    def _ends(self, element: Element, at: int) -> set[int]:
        token = self.found[at]
        out: set[int] = set()
        if not token.forms.isdisjoint(element.words) or (
            element.stems and token.text.startswith(element.stems)
        ):
            out.add(at + 1)
        for phrase in element.phrases:
            if phrase[0] in token.forms and _spells(self.found[at : at + len(phrase)], phrase):
                out.add(at + len(phrase))
        if element.sets and (here := self.sets.get(at)):
            for name in element.sets:
                out |= here.get(name, _NOWHERE)
        if element.tests and (said := self.measures.get(at)):
            out.update(
                measure.end
                for kind, sign, value in element.tests
                for measure in said
                if measure.kind == kind and _holds(measure, sign, value)
            )
        return out

    def _end(self, entry: Entry, at: int) -> int:
        if not entry.pattern:
            return at + 1
        sequence = entry.compiled()
        for words in entry.needs:
            if words.isdisjoint(self.forms):
                return -1
        begun = entry.begun
        return self._match(sequence, begun, at + begun, at + begun)

    def _set_ends(self, entry: Entry, at: int) -> set[int]:
        """Every end of a member of a set: "beef" and "beef jerky" both, where both are members."""
        sequence = entry.compiled() if entry.pattern else ()
        if len(sequence) == 1:
            return self._ends(sequence[0], at)
        end = self._end(entry, at)
        return {end} if end >= 0 else set()

    def _match(self, sequence: Sequence, step: int, at: int, after: int) -> int:
        """The end of the match, or -1; ``after`` is where the last gap began."""
        if step == len(sequence):
            return at
        element = sequence[step]
        window = self.found[after - 1 if after else 0].window
        if element.gap:
            return self._beyond(sequence, step, at, window)
        if at < len(self.found) and (step == 0 or self.found[at].window == window):
            ends = self._ends(element, at)
            for stop in sorted(ends, reverse=True) if len(ends) > 1 else ends:
                end = self._match(sequence, step + 1, stop, stop)
                if end >= 0:
                    return end
        return self._match(sequence, step + 1, at, after) if element.optional else -1

    def _beyond(self, sequence: Sequence, step: int, at: int, window: int) -> int:
        """The end of the match that goes on after a gap, or -1."""
        after = sequence[step + 1]
        words = after.words if after.plain else None
        for begin in range(at, min(at + sequence[step].gap + 1, len(self.found))):
            token = self.found[begin]
            if token.window != window:
                return -1
            if words is not None and words.isdisjoint(token.forms):
                continue
            if self.negators[begin] >= at and begin > at:
                continue
            end = self._match(sequence, step + 1, begin, begin + 1)
            if end >= 0:
                return end
        return -1

    def _negated(self, entry: Entry, at: int, end: int) -> bool:
        if entry.use == "context":
            return False
        if self.negators[at] >= 0 or denied_after(self.found, end):
            return True
        return entry.use == "guard" and doubted(self.found, at)

    def run(self, text: str) -> tuple[Mention, ...]:
        """The mentions in the order of the note; one for each concept, window and polarity."""
        seen: set[tuple[str, int, bool]] = set()
        out: list[Mention] = []
        for at, token in enumerate(self.found):
            for entry in self._candidates(self.concepts.index, at):
                end = self._end(entry, at)
                if end < 0:
                    continue
                negated = self._negated(entry, at, end)
                key = (entry.concept, token.window, negated)
                if key in seen:
                    continue
                seen.add(key)
                stop = self.found[end - 1].end
                out.append(
                    Mention(entry.concept, text[token.start : stop], token.start, stop,
                            token.window, negated)
                )  # fmt: skip
        return tuple(out)


def _holds(measure: Measure, sign: str, value: float) -> bool:
    if sign == "<":
        return measure.value < value
    if sign == ">":
        return measure.value > value
    return measure.value <= value if sign == "<=" else measure.value >= value


def find_mentions(text: str, concepts: Concepts | None = None) -> tuple[Mention, ...]:
    """The concepts that a note names.

    Args:
        text: the note; anything.
        concepts: another set of concepts than the shipped one, for tests.

    Returns:
        Mentions in the order of the note; a concept comes once for each window and polarity.
    """
    return Matcher(text, concepts or shipped_concepts()).run(text)


def vocabulary(concepts: Concepts | None = None) -> frozenset[str]:
    """The concept names that rules may use."""
    names = (concepts or shipped_concepts()).names
    return frozenset(name for name in names if not name.startswith("@"))
