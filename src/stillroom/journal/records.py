"""The shapes that the journal keeps and works on.

Everything that is derived from events is plain JSON (dicts, lists, numbers, text), so that a batch
can be stored as it stands and a rebuild can be compared byte for byte. Masses are g, volumes ml,
lengths mm, temperatures deg C, moments ISO text without a zone (the cook's own clock).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NotRequired, TypedDict

from stillroom.base.statement import Statement

STAGES = (
    "in-hand", "drying", "conditioning", "stored", "refrigerated", "used-up", "discarded",
)  # fmt: skip
OPEN_STAGES = STAGES[:5]
DRIED_STAGES = frozenset({"conditioning", "stored", "refrigerated", "used-up"})
KITCHEN = "@kitchen"

Deed = dict[str, Any]
"""One thing an event does, with the batch that it does it to: ``{"do": "load", "batch": …}``."""


class Line(TypedDict):
    """Vessels of one batch that were packed alike; ``grams`` is for all of them together.

    ``shared`` is true when the mass was not said and is this line's share of what was packed;
    ``wrap`` says what a bag is made of ("paper bags"), where that was said; ``opened`` is true
    once some was taken out of the only vessel.
    """

    vessel: str | None
    vessel_ml: float | None
    count: float | None
    grams: float | None
    place: str | None
    seal: str | None
    packed: str
    dated: bool
    shared: bool
    wrap: NotRequired[str]
    opened: NotRequired[bool]


class Jar(TypedDict):
    """The conditioning jar: since when (day 0), what it is, and the days that were looked at."""

    since: str
    vessel: str | None
    vessel_ml: float | None
    count: float | None
    place: str | None
    seen: list[int]


class Weighing(TypedDict):
    """One reading of the scale; ``grams`` is as read, ``tare_g`` what of it is tray or jar.

    ``wet`` is true once it is said, then or later, that the food was not dry yet.
    """

    at: str
    grams: float
    tray: int | None
    tare_g: float
    wet: bool
    event: int


class Batch(TypedDict):
    """One batch, as far as its events tell.

    The dry side balances: ``dry_g = loose_g + stock + used_g + discarded_g + moved_g`` whenever
    these are known (``balance_g`` in stock.py); ``loose_g`` is what is on trays or in the
    conditioning jar.
    """

    name: str
    food: str | None
    form: str | None
    stage: str
    listed: bool
    fresh_g: float | None
    fresh_estimated: bool
    prepared_g: float | None
    dry_g: float | None
    loose_g: float | None
    used_g: float
    discarded_g: float
    moved_g: float
    fresh_lost_g: float
    begun: str
    loaded: str | None
    drying_since: str | None
    dried: bool
    dried_at: str | None
    trays: float | None
    temperature_c: float | None
    surface: str | None
    thickness_mm: float | None
    size: str | None
    prep: list[str]
    hours: float | None
    vessel: str | None
    place: str | None
    jar: Jar | None
    conditioned: bool
    redry: str | None
    mould: str | None
    redried: int
    look: dict[str, Any] | None
    weighings: list[Weighing]
    stock: list[Line]
    uses: list[dict[str, Any]]
    brined: str | None
    brine: dict[str, float]
    parents: list[str]
    children: list[str]
    predicted: dict[str, list[float]]
    excluded: bool
    best_by: str | None
    allergens: list[str]
    touched: int


Batches = dict[str, Batch]


class Event(TypedDict):
    """One line of the journal, as written; never changed, never erased."""

    seq: int
    said: str
    kept: str
    kind: str
    note: str
    statements: list[dict[str, Any]]
    deeds: list[Deed]
    predicted: dict[str, dict[str, list[float]]]
    target: int | None
    version: str
    prior: str
    hash: str


@dataclass(frozen=True)
class FoodTraits:
    """What the journal must know of a food; given by the caller from the tables.

    Args:
        group: vegetable, fruit, herb or other.
        conditioning_days: days in the conditioning jar; 0 when the food needs none.
        pliable: it is done when leathery or pliable (fruit); others must snap.
    """

    group: str = "vegetable"
    conditioning_days: int = 5
    pliable: bool = False


Grams = Callable[[Statement, str | None, bool], float | None]
Keeping = Callable[[Mapping[str, Any]], float | None]


def no_grams(statement: Statement, form: str | None, dried: bool) -> float | None:
    """Stands in where no table turns volumes and counts into grams."""
    return None


def no_keeping(line: Mapping[str, Any]) -> float | None:
    """Stands in where no table tells how long a thing keeps."""
    return None


def no_allergen(food: str) -> str:
    """Stands in where no table tells of allergens."""
    return ""


@dataclass(frozen=True)
class Knowhow:
    """What the tables tell the journal; the journal itself reads no tables.

    Args:
        traits: by canonical food name.
        grams: likely mass [g] of a statement's volume or count, its form, and whether it is dried.
        keeping: days that a stock line keeps, from its batch's food, form, group, stage and its own
            place, seal, vessel; None when unknown.
        allergen: the allergen of a food, empty for none.
        lookalikes: pairs of (food, form) that look the same once in a jar; form None is any.
        refresh_days: days after which a refrigerator brine wants a look and topping up.
        jelly_ml: juice that is enough for one batch of jelly.
    """

    traits: Mapping[str, FoodTraits] = field(default_factory=dict)
    grams: Grams = no_grams
    keeping: Keeping = no_keeping
    lookalikes: Sequence[tuple[tuple[str, str | None], tuple[str, str | None]]] = ()
    allergen: Callable[[str], str] = no_allergen
    refresh_days: int | None = None
    jelly_ml: float | None = None

    def of(self, food: str | None) -> FoodTraits:
        """The traits of a food; those of a vegetable when nothing is known."""
        return self.traits.get(food or "", FoodTraits())


@dataclass(frozen=True)
class Made:
    """A mix of a recipe, worked out by the caller: the journal itself knows no recipes.

    Args:
        stem: what its batch is called, without the number.
        parts: batch (None for what no batch holds), food, mass [g].
        best_by: earliest best-by of the batches it is made of.
        allergens: of all its parts.
    """

    stem: str
    parts: tuple[tuple[str | None, str, float], ...]
    best_by: str | None = None
    allergens: tuple[str, ...] = ()


@dataclass(frozen=True)
class Question:
    """Two batches fit, or none: what to ask, and the batch that was taken meanwhile."""

    statement: int
    text: str
    batches: tuple[str, ...] = ()
    taken: str | None = None


def new_batch(name: str, food: str | None, at: str) -> Batch:
    """A batch of which nothing is known yet but its food."""
    return {
        "name": name, "food": food, "form": None, "stage": "in-hand", "listed": True,
        "fresh_g": None, "fresh_estimated": False, "prepared_g": None, "dry_g": None,
        "loose_g": None, "used_g": 0.0, "discarded_g": 0.0, "moved_g": 0.0, "fresh_lost_g": 0.0,
        "begun": at, "loaded": None, "drying_since": None, "dried": False, "dried_at": None,
        "trays": None, "temperature_c": None, "surface": None, "thickness_mm": None, "size": None,
        "prep": [], "hours": None, "vessel": None, "place": None, "jar": None,
        "conditioned": False, "redry": None, "mould": None, "redried": 0, "look": None,
        "weighings": [], "stock": [], "uses": [], "brined": None, "brine": {}, "parents": [],
        "children": [], "predicted": {}, "excluded": False, "best_by": None,
        "allergens": [], "touched": 0,
    }  # fmt: skip


def is_open(batch: Batch) -> bool:
    """Whether a batch can still be worked on: on the list and not used up or thrown out."""
    return batch["listed"] and batch["stage"] in OPEN_STAGES
