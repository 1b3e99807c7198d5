"""The pattern language of knowledge/concepts.csv, and its patterns indexed by first word.

A row gives a concept and patterns over normalised words, separated by ``;``. A pattern is a row
of elements separated by spaces:

==============  ====================================================================
``mould``       the word in any inflection (or the inflected form, if written so);
                ``=peel`` this very word only
``botul*``      any word with this beginning
``a|b|c``       one of these, where ``kitchen_table`` is two words; ``@set`` is a set
                defined by the rows whose concept is ``@set``
``word?``       may be missing
``..4``         up to four words between
``A <6> B``     A and B in either order with up to six words between
``foods:fish``  alone in its place: every name of every food of that group in foods.csv
``H>2``         a duration in hours; ``F<130`` a temperature in deg F; ``P<5`` a percentage;
                ``N>1`` a plain number (``<``, ``>``, ``<=``, ``>=``)
==============  ====================================================================
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from stillroom.base.files import Row, read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError
from stillroom.reader.mention_words import tokens
from stillroom.tables.tables import tables

COLUMNS = ("concept", "pattern", "note")
_TOPICS = "@topic"
_TOPIC_CLASSES = ("@meatword", "@fishword")
_IGNORED = "@ignore"
_FOODS = "foods:"
_MAX_GAP = 20


@dataclass(frozen=True, slots=True)
class Element:
    """One element: any of words, stems, sets or number tests; or a gap of up to ``gap`` words."""

    words: frozenset[str] = frozenset()
    stems: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()
    tests: tuple[tuple[str, str, float], ...] = ()
    phrases: tuple[tuple[str, ...], ...] = ()
    optional: bool = False
    gap: int = 0

    @property
    def plain(self) -> bool:
        """Whether it is one of some single words and nothing else."""
        other = self.stems or self.sets or self.tests or self.phrases or self.gap or self.optional
        return not other


Sequence = tuple[Element, ...]


def _atom_test(atom: str) -> tuple[str, str, float] | None:
    if len(atom) < 3 or atom[0] not in "HFPN" or atom[1] not in "<>":
        return None
    sign = atom[1:3] if atom[2] == "=" else atom[1]
    try:
        return atom[0], sign, float(atom[1 + len(sign) :])
    except ValueError:
        return None


@cache
def _element(text: str) -> Element:
    if text.startswith(".."):
        gap = int(text[2:])
        if not 0 < gap <= _MAX_GAP:
            raise ValueError(f"a gap is 1 to {_MAX_GAP} words")
        return Element(gap=gap)
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
        elif atom and atom == atom.lower() and not set("*:") & set(atom):
            words.add(atom)
        else:
            raise ValueError(f"{atom!r} is no word, stem*, @set or number test")
    return Element(
        frozenset(words), tuple(stems), tuple(sets), tuple(tests), tuple(phrases), optional
    )


def _is_joint(text: str) -> bool:
    return text.startswith("<") and text.endswith(">") and text[1:-1].isdigit()


def compile_pattern(pattern: str) -> tuple[Sequence, ...]:
    """The element sequences that a pattern stands for: two for ``A <6> B``, else one.

    Raises:
        ValueError: the pattern is not in the language; the text says what is wrong.
    """
    parts: list[list[Element]] = [[]]
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
    middle = [Element(gap=gap)]
    return tuple(parts[0] + middle + parts[1]), tuple(parts[1] + middle + parts[0])


def _needed(element: Element) -> frozenset[str]:
    """The words of which a note must have one; empty where words alone cannot tell."""
    if element.gap or element.optional or element.stems or element.sets or element.tests:
        return frozenset()
    return element.words.union(phrase[0] for phrase in element.phrases)


@dataclass(slots=True)
class Entry:
    """One pattern of one concept, or of one set; compiled when its first word turns up.

    An entry without a pattern stands for all one-word patterns of its concept: the index has
    found the word, so there is nothing left to match. ``needs`` are sets of words: a note that has
    no word of one of them cannot match and is not searched. ``begun`` is 1 where the index has
    found the first element already, because it is nothing but words.
    """

    concept: str
    pattern: str
    use: str
    place: tuple[str, int]
    sequence: Sequence | None = None
    reverse: bool = False
    needs: tuple[frozenset[str], ...] = ()
    begun: int = 0

    def compiled(self) -> Sequence:
        """The elements to match; a fault in the pattern names the line of the table."""
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
            self.begun = int(self.sequence[0].plain)
            self.needs = tuple(filter(None, map(_needed, self.sequence[1:])))
        return self.sequence


@dataclass(slots=True)
class Index:
    """Patterns by what they can begin with; sets apart, because they match first."""

    words: dict[str, list[Entry]] = field(default_factory=dict)
    stems: dict[str, list[Entry]] = field(default_factory=dict)
    sets: dict[str, list[Entry]] = field(default_factory=dict)
    tests: dict[str, list[Entry]] = field(default_factory=dict)
    longest_stem: int = 0

    def add(self, entry: Entry, first: str) -> None:
        """File a pattern under everything that its first element can be."""
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

    index: Index = field(default_factory=Index)
    set_index: Index = field(default_factory=Index)
    names: set[str] = field(default_factory=set)
    topics: dict[str, str] = field(default_factory=dict)
    ignored: dict[str, list[tuple[str, ...]]] = field(default_factory=dict)


def _first_of_reverse(words: list[str]) -> str | None:
    for at, word in enumerate(words):
        if _is_joint(word) and at + 1 < len(words):
            return words[at + 1]
    return None


def _parts(row: Row) -> list[str]:
    """The patterns of a row; a group of foods is spelled out by the names in foods.csv."""
    parts: list[str] = []
    for part in map(str.strip, row["pattern"].split(";")):
        names = _food_names().get(part.removeprefix(_FOODS)) if part.startswith(_FOODS) else None
        parts.extend([part] if names is None else names)
    return parts


@cache
def _food_names() -> dict[str, list[str]]:
    """The names of the foods of each group, as patterns."""
    known = tables()
    found: dict[str, list[str]] = {}
    for words, food in known.food_words.items():
        pattern = " ".join(token.text for token in tokens(words))
        if pattern and not any(mark in pattern for mark in "|*_<>"):
            found.setdefault(known.foods[food].group, []).append(pattern)
    return {group: list(dict.fromkeys(names)) for group, names in found.items()}


def load_concepts(path: Path) -> Concepts:
    """The concepts of a file, indexed; patterns are compiled when first needed.

    Raises:
        ProblemError: the table cannot be read.
    """
    concepts = Concepts()
    for row in read_csv(path, COLUMNS):
        name = row["concept"]
        parts = _parts(row)
        concepts.names.add(name)
        if name == _IGNORED:
            for phrase in map(str.split, parts):
                concepts.ignored.setdefault(phrase[0], []).append(tuple(phrase))
            continue
        _index_row(concepts, row, parts)
        if name == _TOPICS:
            concepts.topics = {**dict.fromkeys(parts, ""), **concepts.topics}
        elif name in _TOPIC_CLASSES:
            concepts.topics |= dict.fromkeys(parts, name)
    concepts.topics = {word: topic or word for word, topic in concepts.topics.items()}
    return concepts


def _index_row(concepts: Concepts, row: Row, parts: list[str]) -> None:
    name, use, place = row["concept"], row["note"].partition(":")[0], (row.file, row.line)
    index = concepts.set_index if name.startswith("@") else concepts.index
    one_word = Entry(name, "", use, place)
    words = index.words
    for part in parts:
        if part.isalpha():
            known = words.setdefault(part, [])
            if not any(entry.concept == name and not entry.pattern for entry in known):
                known.append(one_word)
        elif part:
            index.add(Entry(name, part, use, place), part.partition(" ")[0])
            second = _first_of_reverse(part.split()) if "<" in part else None
            if second:
                index.add(Entry(name, part, use, place, None, True), second)


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


def _faults(entry: Entry, names: set[str]) -> list[Problem]:
    if not entry.pattern:
        return []
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


@cache
def shipped_concepts() -> Concepts:
    """The concepts of knowledge/concepts.csv, read once."""
    return load_concepts(knowledge_dir() / "concepts.csv")
