"""Names of topics and figures on the screen, from knowledge/screen.csv."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir

ANY_STAGE = "other"
_COLUMNS = ("kind", "id", "label", "order", "short", "sentence")


@dataclass(frozen=True)
class Label:
    """What a topic or a figure is called on the screen, where it stands, when it is shown.

    Args:
        text: the words in front.
        order: its place among the others, in the order of the work.
        short: the stages of a batch at which the short form shows it; ``other`` stands for food
            that is only asked about.
        sentence: how the figure answers a question, ``{}`` for the figure.
    """

    text: str
    order: int
    short: frozenset[str] = frozenset()
    sentence: str = ""


@cache
def labels() -> dict[tuple[str, str], Label]:
    """Labels by kind (topic or figure) and id."""
    rows = read_csv(knowledge_dir() / "screen.csv", _COLUMNS)
    return {
        (row["kind"], row["id"]): Label(
            row["label"],
            int(row["order"]),
            frozenset(row["short"].split("|")) - {""},
            row["sentence"],
        )
        for row in rows
    }


def label_for(kind: str, name: str) -> Label:
    """The label of a topic or figure; one made from its id when the table has none."""
    plain = name.replace("_", " ").replace("-", " ").capitalize()
    return labels().get((kind, name)) or Label(plain, 900, frozenset({ANY_STAGE}))
