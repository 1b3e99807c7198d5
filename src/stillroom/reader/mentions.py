"""Concepts that a note's words name, for the hazard rules: knowledge/concepts.csv.

A row gives a concept and patterns over normalised words, separated by ``;``. A pattern is a row
of elements separated by spaces:

==============  ====================================================================
``mould``       the word in any inflection (or the inflected form, if written so);
                ``=peel`` this very word only
``botul*``      any word with this beginning
``a|b|c``       one of these, where ``kitchen_table`` is two words; ``@set`` is a set defined by the rows whose concept is ``@set``
``word?``       may be missing
``..4``         up to four words between
``A <6> B``     A and B in either order with up to six words between
``H>2``         a duration in hours; ``F<130`` a temperature in deg F; ``P<5`` a percentage;
                ``N>1`` a plain number (``<``, ``>``, ``<=``, ``>=``)
==============  ====================================================================

A phrase of the set ``@ignore`` is blanked first: beef tomatoes are no beef.
A gap never leaves its window (see ``mention_words``) and never steps into a negation. A mention
is negated when a negating word stands before it in its clause ("no fizzing", "never froze it",
"rather than vacuum sealing"). A concept whose note says ``guard`` makes things safe ("heated to
160 F"); for it "not sure whether" counts as a negation, because a doubt is no safeguard. A concept whose
note says ``context`` only tells what the talk is about ("didn't rinse the lime off the pickles"
is about pickles all the same), so no negation is looked for.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError
from stillroom.base.statement import Mention
from stillroom.reader.mention_words import (
    Measure,
    Token,
    measures,
    number_windows,
    tokens,
)

COLUMNS = ("concept", "pattern", "note")
_TOPICS = "@topic"
_TOPIC_CLASSES = ("@meatword", "@fishword")
_IGNORED = "@ignore"
_MAX_GAP = 20


@dataclass(frozen=True, slots=True)
class _Element:
    """One element: any of words, stems, sets or number tests; or a gap of up to ``gap`` words."""

    words: frozenset[str] = frozenset()
    stems: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()
    tests: tuple[tuple[str, str, float], ...] = ()
    phrases: tuple[tuple[str, ...], ...] = ()
    optional: bool = False
    gap: int = 0


_Sequence = tuple[_Element, ...]


def _atom_test(atom: str) -> tuple[str, str, float] | None:
    if len(atom) < 3 or atom[0] not in "HFPN" or atom[1] not in "<>":
        return None
    sign = atom[1:3] if atom[2] == "=" else atom[1]
    try:
        return atom[0], sign, float(atom[1 + len(sign) :])
    except ValueError:
        return None


def _element(text: str) -> _Element:
    if text.startswith(".."):
        gap = int(text[2:])
        if not 0 < gap <= _MAX_GAP:
            raise ValueError(f"a gap is 1 to {_MAX_GAP} words")
        return _Element(gap=gap)
    optional = text.endswith("?")
    words, stems, sets, tests = set[str](), list[str](), list[str](), []
    phrases: list[tuple[str, ...]] = []
    for atom in text.rstrip("?").split("|"):
        if test := _atom_test(atom):
            tests.append(test)
        elif atom.startswith("@") and len(atom) > 1:
            sets.append(atom)
        elif atom.endswith("*") and len(atom) > 3:
            stems.append(atom[:-1])
        elif "_" in atom.strip("_") and atom == atom.lower():
            phrases.append(tuple(atom.split("_")))
        elif atom and atom == atom.lower() and "*" not in atom:
            words.add(atom)
        else:
            raise ValueError(f"{atom!r} is no word, stem*, @set or number test")
    return _Element(
        frozenset(words), tuple(stems), tuple(sets), tuple(tests), tuple(phrases), optional
    )


def _is_joint(text: str) -> bool:
    return text.startswith("<") and text.endswith(">") and text[1:-1].isdigit()


def compile_pattern(pattern: str) -> tuple[_Sequence, ...]:
    """The element sequences that a pattern stands for: two for ``A <6> B``, else one.

    Raises:
        ValueError: the pattern is not in the language; the text says what is wrong.
    """
    parts: list[list[_Element]] = [[]]
    gap = 0
    for text in pattern.split():
        if _is_joint(text):
            parts.append([])
            gap = int(text[1:-1])
        else:
            parts[-1].append(_element(text))
    if any(not part or part[0].gap or part[-1].gap or part[0].optional for part in parts):
        raise ValueError("a pattern, or a side of <n>, begins and ends with a word")
    if len(parts) > 2:
        raise ValueError("only one <n> in a pattern")
    if len(parts) == 1:
        return (tuple(parts[0]),)
    if not 0 < gap <= _MAX_GAP:
        raise ValueError(f"a gap is 1 to {_MAX_GAP} words")
    middle = [_Element(gap=gap)]
    return tuple(parts[0] + middle + parts[1]), tuple(parts[1] + middle + parts[0])


@dataclass(slots=True)
class _Entry:
    """One pattern of one concept, or of one set; compiled when its first word turns up."""

    concept: str
    pattern: str
    use: str
    place: tuple[str, int]
    sequence: _Sequence | None = None
    reverse: bool = False

    def compiled(self) -> _Sequence:
        if self.sequence is None:
            try:
                self.sequence = compile_pattern(self.pattern)[-1 if self.reverse else 0]
            except ValueError as error:
                raise ProblemError(
                    Problem(
                        *self.place, 0, "bad-pattern",
                        f"The pattern {self.pattern!r} cannot be read: {error}.",
                        "See the table at the top of reader/mentions.py.",
                    ),
                    exit_status=3,
                ) from error  # fmt: skip
        return self.sequence


@dataclass(slots=True)
class _Index:
    """Patterns by what they can begin with; sets apart, because they match first."""

    words: dict[str, list[_Entry]] = field(default_factory=dict)
    stems: dict[str, list[_Entry]] = field(default_factory=dict)
    sets: dict[str, list[_Entry]] = field(default_factory=dict)
    tests: dict[str, list[_Entry]] = field(default_factory=dict)
    longest_stem: int = 0

    def add(self, entry: _Entry, first: str) -> None:
        for atom in first.rstrip("?").split("|"):
            if atom.startswith("@"):
                self.sets.setdefault(atom, []).append(entry)
            elif atom[:1] in "HFPN" and atom[1:2] in ("<", ">"):
                self.tests.setdefault(atom[0], []).append(entry)
            elif atom.endswith("*"):
                self.stems.setdefault(atom[:-1], []).append(entry)
                self.longest_stem = max(self.longest_stem, len(atom) - 1)
            else:
                self.words.setdefault(atom.partition("_")[0], []).append(entry)


@dataclass(slots=True)
class Concepts:
    """All concepts of one file, ready to match."""

    index: _Index = field(default_factory=_Index)
    set_index: _Index = field(default_factory=_Index)
    names: set[str] = field(default_factory=set)
    topics: dict[str, str] = field(default_factory=dict)
    ignored: dict[str, list[tuple[str, ...]]] = field(default_factory=dict)


def _first_of_reverse(words: list[str]) -> str | None:
    for at, word in enumerate(words):
        if _is_joint(word) and at + 1 < len(words):
            return words[at + 1]
    return None


def load_concepts(path: Path) -> Concepts:
    """The concepts of a file, indexed; patterns are compiled when first needed.

    Raises:
        ProblemError: the table cannot be read.
    """
    concepts = Concepts()
    for row in read_csv(path, COLUMNS):
        name, place = row["concept"], (row.file, row.line)
        use = row["note"].partition(":")[0]
        index = concepts.set_index if name.startswith("@") else concepts.index
        concepts.names.add(name)
        for part in row["pattern"].split(";"):
            words = part.split()
            if not words:
                continue
            if name == _IGNORED:
                concepts.ignored.setdefault(words[0], []).append(tuple(words))
                continue
            pattern = " ".join(words)
            index.add(_Entry(name, pattern, use, place), words[0])
            second = _first_of_reverse(words)
            if second:
                index.add(_Entry(name, pattern, use, place, None, True), second)
            if len(words) == 1:
                _note_topic(concepts.topics, name, words[0])
    return concepts


def _note_topic(topics: dict[str, str], name: str, word: str) -> None:
    if name == _TOPICS and "*" not in word:
        topics.setdefault(word, word)
    elif name in _TOPIC_CLASSES and "*" not in word:
        topics[word] = name


@cache
def _shipped() -> Concepts:
    return load_concepts(knowledge_dir() / "concepts.csv")


def check_concepts(path: Path) -> list[Problem]:
    """Every fault of a concepts file: patterns that cannot be read, sets that are not defined."""
    concepts = load_concepts(path)
    problems: list[Problem] = []
    for index in (concepts.index, concepts.set_index):
        for table in (index.words, index.stems, index.sets, index.tests):
            for entries in table.values():
                for entry in entries:
                    problems.extend(_faults(entry, concepts.names))
    return sorted(set(problems))


def _faults(entry: _Entry, names: set[str]) -> list[Problem]:
    try:
        sequence = entry.compiled()
    except ProblemError as error:
        return list(error.problems)
    return [
        Problem(
            *entry.place, 0, "unknown-set", f"The set {name} is not defined.",
            "Add a row whose concept is this name, or correct the name.",
        )
        for element in sequence
        for name in element.sets
        if name not in names
    ]  # fmt: skip


# negation -------------------------------------------------------------------------------------

_NEGATORS = frozenset(
    "no not never without none nothing neither nor nobody instead rather forget skip omit avoid "
    "prevent lack hardly unlike stop miss fail out free".split()
)
# "no wait", "not only", "not sure": these negate nothing that follows.
_NO_NEGATION = {
    "no": frozenset("wait sorry doubt problem matter idea wonder really".split()),
    "not": frozenset("only just merely sure certain convinced so too very all".split()),
    "stop": frozenset("the drying dryer".split()),
    "miss": frozenset("a my".split()),
}
_NEEDS_AFTER = {"instead": frozenset(("of",)), "rather": frozenset(("than",)),
                "forget": frozenset(("to",)), "fail": frozenset(("to",)),
                "out": frozenset(("of",)), "free": frozenset(("of", "from"))}  # fmt: skip
_BREAKS = frozenset(
    "but and so because then until till if when while who which whether though although unless "
    "since before after that".split()
)
_DOUBTS = frozenset(
    "not sure|not certain|not know|not remember|not tell|not recall|no idea|forget if|"
    "forget whether|unsure if|unsure whether|not check".split("|")
)
_REACH = 7
_OUT_OF = 3  # "out of the fridge": the fridge, and nothing after it
_AFTER = frozenset("none nil skipped free zero".split())


def _is_negator(found: list[Token], at: int) -> bool:
    hits = found[at].forms & _NEGATORS
    if not hits:
        return False
    word = next(iter(hits))
    nxt = found[at + 1] if at + 1 < len(found) else None
    if nxt is None or nxt.clause != found[at].clause:
        return False
    if word == "no" and (nxt.comma or nxt.text[0].isdigit()):
        return False
    if word in _NEEDS_AFTER and _NEEDS_AFTER[word] and nxt.text not in _NEEDS_AFTER[word]:
        return False
    return nxt.text not in _NO_NEGATION.get(word, ())


def _negators(found: list[Token]) -> list[int]:
    """For each word the place of the negating word that governs it, or -1."""
    out = [-1] * len(found)
    active, listed = -1, 0
    for at, token in enumerate(found):
        if active >= 0 and _scope_ends(found, at, active, listed):
            active = -1
        listed = 0 if token.comma or token.text == "or" else listed + 1
        out[at] = active
        if _is_negator(found, at):
            active, listed = at, 0
    return out


def _scope_ends(found: list[Token], at: int, active: int, listed: int) -> bool:
    token = found[at]
    if token.clause != found[active].clause or token.text in _BREAKS:
        return True
    if token.text == "for" and found[active].text in ("instead", "rather"):
        return True
    if token.comma and not (listed <= 2 and found[active].text in ("no", "without")):
        return True
    return at - active > (_OUT_OF if found[active].text == "out" else _REACH)


def _denied_after(found: list[Token], end: int) -> bool:
    """ "Mould: none", "the heating step was skipped", "Any mould? No." """
    if end >= len(found):
        return False
    nxt = found[end]
    if nxt.asked or nxt.clause != found[end - 1].clause:
        return nxt.text in ("none", "nope", "nil") or (nxt.asked and nxt.text in ("no", "not"))
    if nxt.text in _AFTER and not (nxt.text == "free" and _after_is(found, end + 1, "of")):
        return True
    return nxt.text in ("was", "were", "is") and (
        _after_is(found, end + 1, "skipped") or _after_is(found, end + 1, "not", "done")
    )


def _after_is(found: list[Token], at: int, *words: str) -> bool:
    return tuple(token.text for token in found[at : at + len(words)]) == words


def _doubted(found: list[Token], start: int) -> bool:
    """Whether "not sure whether", "can't remember if" stands before, in the same clause."""
    clause = found[start].clause
    return any(
        f"{one} {two}" in _DOUBTS
        for at in range(max(0, start - _REACH), start)
        if found[at].clause == clause
        for one in found[at].forms
        for two in found[at + 1].forms
    )


def _spells(piece: list[Token], phrase: tuple[str, ...]) -> bool:
    return len(piece) == len(phrase) and all(
        word in token.forms for word, token in zip(phrase, piece, strict=True)
    )


def _blank(found: list[Token], ignored: dict[str, list[tuple[str, ...]]]) -> None:
    """Take the forms from phrases that only look like a concept ("beef tomatoes")."""
    for at, token in enumerate(found):
        for form in token.forms:
            for phrase in ignored.get(form, ()):
                piece = found[at : at + len(phrase)]
                if _spells(piece, phrase):
                    for part in piece:
                        part.forms, part.text = frozenset(), "·"


# matching -------------------------------------------------------------------------------------


class _Matcher:
    """One note against all concepts; every start costs a bounded number of steps."""

    def __init__(self, text: str, concepts: Concepts) -> None:
        self.found = tokens(text)
        _blank(self.found, concepts.ignored)
        number_windows(self.found, concepts.topics)
        self.concepts = concepts
        self.measures = measures(self.found)
        self.negators = _negators(self.found)
        self.sets: dict[int, dict[str, int]] = {}
        for at in range(len(self.found) - 1, -1, -1):
            self._close_sets(at)

    def _close_sets(self, at: int) -> None:
        """Which sets a word begins a member of; sets may name sets, hence until nothing is new."""
        here: dict[str, int] = {}
        self.sets[at] = here
        todo = list(self._candidates(self.concepts.set_index, at))
        while todo:
            entry = todo.pop()
            end = self._match(entry.compiled(), 0, at, at)
            if end > here.get(entry.concept, -1):
                fresh = entry.concept not in here
                here[entry.concept] = end
                if fresh:
                    todo.extend(self.concepts.set_index.sets.get(entry.concept, ()))
        if not here:
            del self.sets[at]

    def _candidates(self, index: _Index, at: int) -> list[_Entry]:
        token = self.found[at]
        out: list[_Entry] = []
        for form in token.forms:
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

    def _ends(self, element: _Element, at: int) -> set[int]:
        token = self.found[at]
        out: set[int] = set()
        if token.forms & element.words or (element.stems and token.text.startswith(element.stems)):
            out.add(at + 1)
        out.update(
            at + len(phrase)
            for phrase in element.phrases
            if _spells(self.found[at : at + len(phrase)], phrase)
        )
        here = self.sets.get(at)
        if here and element.sets:
            out.update(here[name] for name in element.sets if name in here)
        for kind, sign, value in element.tests:
            out.update(
                measure.end
                for measure in self.measures.get(at, ())
                if measure.kind == kind and _holds(measure, sign, value)
            )
        return out

    def _match(self, sequence: _Sequence, step: int, at: int, after: int) -> int:
        """The end of the match, or -1; ``after`` is where the last gap began."""
        if step == len(sequence):
            return at
        element = sequence[step]
        window = self.found[after - 1 if after else 0].window
        if element.gap:
            for begin in range(at, min(at + element.gap + 1, len(self.found))):
                if self.found[begin].window != window:
                    return -1
                if self.negators[begin] >= at and begin > at:
                    continue
                end = self._match(sequence, step + 1, begin, begin + 1)
                if end >= 0:
                    return end
            return -1
        if at < len(self.found) and (step == 0 or self.found[at].window == window):
            for stop in self._ends(element, at):
                end = self._match(sequence, step + 1, stop, stop)
                if end >= 0:
                    return end
        return self._match(sequence, step + 1, at, after) if element.optional else -1

    def _negated(self, entry: _Entry, at: int, end: int) -> bool:
        if entry.use == "context":
            return False
        if self.negators[at] >= 0 or _denied_after(self.found, end):
            return True
        return entry.use == "guard" and _doubted(self.found, at)

    def run(self, text: str) -> tuple[Mention, ...]:
        """The mentions in the order of the note; one for each concept, window and polarity."""
        seen: set[tuple[str, int, bool]] = set()
        out: list[Mention] = []
        for at, token in enumerate(self.found):
            for entry in self._candidates(self.concepts.index, at):
                key = (entry.concept, token.window)
                if (*key, False) in seen and (*key, True) in seen:
                    continue
                end = self._match(entry.compiled(), 0, at, at)
                if end < 0:
                    continue
                negated = self._negated(entry, at, end)
                if (*key, negated) in seen:
                    continue
                seen.add((*key, negated))
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
    return _Matcher(text, concepts or _shipped()).run(text)


def vocabulary(concepts: Concepts | None = None) -> frozenset[str]:
    """The concept names that rules may use."""
    names = (concepts or _shipped()).names
    return frozenset(name for name in names if not name.startswith("@"))
