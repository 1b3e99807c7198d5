"""One stretch of a note that says or asks one thing."""

from __future__ import annotations

from dataclasses import dataclass, field

from stillroom.reader.items import Item


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
    def start_token(self) -> int:
        """Number of the first token."""
        return self.items[0].first

    @property
    def stop_token(self) -> int:
        """One past the number of the last token."""
        return self.items[-1].last + 1

    @property
    def start(self) -> int:
        """First character."""
        return self.items[0].start

    @property
    def end(self) -> int:
        """One past the last character."""
        return self.items[-1].end
