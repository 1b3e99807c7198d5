"""Sources: what a figure or a rule rests on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from stillroom.base.files import read_csv

KINDS = ("handbook", "standard", "dataset", "paper", "memory", "common-practice")
_COLUMNS = ("id", "title", "author_or_body", "year", "publisher", "where", "kind")
# Where sources disagree: read before recalled, recalled before practice.
_RANK = {"memory": 1, "common-practice": 2}


@dataclass(frozen=True)
class Source:
    """One row of knowledge/sources.csv.

    ``kind`` is one of ``KINDS``; ``memory`` means that the figure was recalled and the
    publication was not opened, and every line that shows the source says so.
    """

    id: str
    title: str
    author: str
    year: str
    publisher: str
    where: str
    kind: str

    @property
    def rank(self) -> int:
        """0 for something that was read, 1 for a recalled figure, 2 for common practice."""
        return _RANK.get(self.kind, 0)

    @property
    def line(self) -> str:
        """One line for the screen."""
        if self.kind == "common-practice":
            return f"{self.title} (common practice)"
        year = "" if self.year.startswith("n.d") else f", {self.year}"
        recalled = " (recalled from memory, not opened)" if self.kind == "memory" else ""
        return f"{self.title}. {self.author}{year}{recalled}"


def read_sources(folder: Path) -> dict[str, Source]:
    """Every source by id."""
    return {
        row["id"]: Source(*(row[column] for column in _COLUMNS))
        for row in read_csv(folder / "sources.csv", _COLUMNS)
    }
