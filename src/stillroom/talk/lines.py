"""The lines of an answer, its numbered sources, and what it has said so far."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stillroom.outputs.plots import DryingCurve

_TITLE_END = re.compile(r"(?<![ (][A-Z])\.\s+")
_RECALLED = "recalled from memory"


def _short_title(line: str) -> str:
    """The title alone of a line of the list of sources; that it was only recalled stays said.

    >>> _short_title("Conditioning Dried Foods (AnswerLine). Iowa State University, 2023")
    'Conditioning Dried Foods (AnswerLine)'
    >>> _short_title("Drying Herbs. believed to be a leaflet (recalled from memory, not opened)")
    'Drying Herbs (recalled)'
    """
    title = _TITLE_END.split(line)[0].removesuffix(" (common practice)").rstrip(".")
    return f"{title} (recalled)" if _RECALLED in line and "recalled" not in title else title


def best_first(sources: Iterable[str], titles: Mapping[str, str]) -> tuple[str, ...]:
    """Sources without repeats: what was read, then what was recalled, then common practice.

    >>> best_first(["b", "a", "b"], {"a": "A Handbook", "b": "B (common practice)"})
    ('a', 'b')
    """

    def rank(source: str) -> int:
        line = titles.get(source, source)
        return 2 if line.endswith("(common practice)") else int(_RECALLED in line)

    return tuple(sorted(dict.fromkeys(sources), key=rank))


@dataclass(frozen=True)
class Line:
    """One paragraph of an answer.

    Args:
        role: heard, stop, reply, detail, echo, kept, unread, guess, odd, head, figure, ruling,
            caution, note, question, hint, source.
        text: the words.
        label: what stands in front, for figures, rulings and sources.
        marks: numbers of the sources it rests on, as listed at the end.
        curve: for the role plot: what to draw, as wide as the screen.
    """

    role: str
    text: str
    label: str = ""
    marks: tuple[int, ...] = ()
    curve: DryingCurve | None = None


@dataclass
class Footnotes:
    """Numbers the sources in the order in which they are first used.

    Args:
        titles: source id to its line.
        most: sources shown at one line.
        listed: whether the list is shown at the end; without it marks would point nowhere.
        brief: list titles alone.
    """

    titles: Mapping[str, str]
    most: int = 99
    listed: bool = True
    brief: bool = False
    seen: list[str] = field(default_factory=list)

    def marks(self, sources: Iterable[str]) -> tuple[int, ...]:
        """The number of each source, new ones numbered on; at most ``most`` of them."""
        best = best_first(sources, self.titles)[: self.most]
        shown = dict.fromkeys(self._shown(source) for source in best)
        self.seen += [title for title in shown if title not in self.seen]
        if not self.listed:
            return ()
        return tuple(sorted(self.seen.index(title) + 1 for title in shown))

    def _shown(self, source: str) -> str:
        line = self.titles.get(source, source)
        return line if self.listed and not self.brief else _short_title(line)

    def lines(self) -> list[Line]:
        """The list of sources; in the short form the first titles in one line."""
        if self.listed:
            return [Line("source", text, f"[{n}]") for n, text in enumerate(self.seen, start=1)]
        if not self.seen:
            return []
        rest = len(self.seen) - 2
        more = f"; and {rest} more (“tell me more” lists them)" if rest > 0 else ""
        return [Line("source", "; ".join(self.seen[:2]) + more + ".", "From:")]


@dataclass
class Said:
    """What the answer has said so far, so that nothing is said twice."""

    texts: set[str] = field(default_factory=set)

    def new(self, text: str) -> bool:
        """Whether this was not said yet; it counts as said from now on."""
        key = " ".join(text.lower().rstrip(".").split())
        fresh = key not in self.texts
        self.texts.add(key)
        return fresh
