"""Names of topics and figures on the screen, from knowledge/screen.csv."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir


@dataclass(frozen=True)
class Label:
    """What a topic or a figure is called on the screen, and where it stands."""

    text: str
    order: int


@cache
def labels() -> dict[tuple[str, str], Label]:
    """Labels by kind (topic or figure) and id."""
    rows = read_csv(knowledge_dir() / "screen.csv", ("kind", "id", "label", "order"))
    return {(row["kind"], row["id"]): Label(row["label"], int(row["order"])) for row in rows}


def label_for(kind: str, name: str) -> Label:
    """The label of a topic or figure; one made from its id when the table has none."""
    plain = name.replace("_", " ").replace("-", " ").capitalize()
    return labels().get((kind, name)) or Label(plain, 900)
