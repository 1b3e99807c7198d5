"""What the kitchen sums take and give: the kitchen, numbers, hints for the wording."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from math import floor, log10
from typing import Protocol

from stillroom.base.fact import Fact, Number
from stillroom.base.quantity import show
from stillroom.base.statement import Reading, Statement
from stillroom.science.brine import Span
from stillroom.science.juice import JuiceKept
from stillroom.science.mixes import Line
from stillroom.tables.food import Food
from stillroom.tables.kitchen_use import KitchenUse, kitchen_use


@dataclass(frozen=True)
class Kitchen:
    """The kitchen and the season as far as the sums need them.

    Args:
        humidity: relative humidity of the room, 0 to 1; None unknown.
        temperature_c: of the room, and so of an unwarmed jar.
        damp: the air was called damp.
        measure: ``us`` or ``metric``.
        juice: juice kept so far this season, lot by lot.
        today: the day, for dates that go on a label.
    """

    humidity: float | None = None
    temperature_c: float = 20.0
    damp: bool = False
    measure: str = "us"
    juice: tuple[JuiceKept, ...] = ()
    today: date | None = None


@dataclass(frozen=True)
class Hint:
    """One thing worth saying: topic of the interface, a short name, text, sources.

    ``severity`` is empty for plain advice, ``note`` or ``caution`` for a warning.
    """

    topic: str
    name: str
    text: str
    batch: str | None = None
    sources: tuple[str, ...] = ()
    severity: str = ""
    priority: int = 100


@dataclass(frozen=True)
class Taking:
    """What a mix would take from one batch of the shelf, g."""

    batch: str
    food: str
    g: float


@dataclass(frozen=True)
class Making:
    """A mix that is made, for the journal.

    Args:
        recipe: id of the recipe.
        parts: batch (None for what the shelf does not hold), food, mass in g.
        best_by: earliest best-by of the batches it is made of, ISO text.
        allergens: of its parts and their batches.
    """

    recipe: str
    parts: tuple[tuple[str | None, str, float], ...]
    best_by: str | None = None
    allergens: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sums:
    """Numbers and hints of one note.

    Args:
        numbers: computed figures.
        hints: rows for the wording, in the order to say them.
        takes: what a mix takes from the shelf; empty where the shelf is short.
        best_by: earliest best-by of what a mix is made from, ISO text.
        allergens: of the mix.
        mix: id of the recipe meant.
    """

    numbers: tuple[Number, ...] = ()
    hints: tuple[Hint, ...] = ()
    takes: tuple[Taking, ...] = ()
    best_by: str | None = None
    allergens: tuple[str, ...] = ()
    mix: str | None = None

    def plus(self, other: Sums) -> Sums:
        """Both together; what is single is the first that is there."""
        return Sums(
            self.numbers + other.numbers, self.hints + other.hints, self.takes + other.takes,
            self.best_by or other.best_by,
            tuple(dict.fromkeys(self.allergens + other.allergens)), self.mix or other.mix,
        )  # fmt: skip

    def facts(self) -> tuple[Fact, ...]:
        """The numbers as facts of kind ``number``."""
        return tuple(
            Fact(
                "number",
                {"name": item.name, "low": item.low, "likely": item.likely, "high": item.high,
                 **({"batch": item.batch} if item.batch else {})},
                item.because, item.sources,
            )
            for item in self.numbers
        )  # fmt: skip


class Estimate(Protocol):
    """Anything with a range: a ``Span``, or a ``Range`` of the drying sums."""

    @property
    def low(self) -> float:
        """The low end, in the unit of what it measures."""

    @property
    def likely(self) -> float:
        """The likely value, in the same unit."""

    @property
    def high(self) -> float:
        """The high end, in the same unit."""


MassOf = Callable[[Statement], Estimate | None]


@dataclass(frozen=True)
class Asked:
    """All that one sum looks at.

    Args:
        reading: the note.
        foods: of the knowledge tables.
        shelf: dried stock.
        kitchen: the kitchen.
        mass_of: mass in g of what a statement gives by count or volume, or None.
        use: the tables of kitchen_use.
        earlier: statements told shortly before, for "two jars are short".
    """

    reading: Reading
    foods: Mapping[str, Food]
    shelf: tuple[Line, ...] = ()
    kitchen: Kitchen = field(default_factory=Kitchen)
    mass_of: MassOf | None = None
    use: KitchenUse = field(default_factory=kitchen_use)
    earlier: tuple[Statement, ...] = ()

    def mass(self, item: Statement) -> Span | None:
        """Mass that a statement gives, g: as weighed, else by ``mass_of``."""
        amount = item.amount
        if amount is None:
            return None
        if amount.si_unit == "g":
            likely = amount.si_likely
            low = amount.si_low if amount.si_low is not None else likely
            high = amount.si_high if amount.si_high is not None else likely
            return Span(low, likely, high)
        estimate = self.mass_of(item) if self.mass_of is not None else None
        return None if estimate is None else Span(estimate.low, estimate.likely, estimate.high)

    def name(self, food: str | None, *, many: bool = True) -> str:
        """A food as the screen calls it."""
        row = self.foods.get(food or "")
        if row is None:
            return food or "produce"
        return row.plural if many else row.name

    def water(self, food: str) -> Span:
        """Water of the fresh food, fraction."""
        row = self.foods.get(food)
        if row is None:
            return Span(0.82, 0.90, 0.95)
        return Span(row.water_low, row.water_likely, row.water_high)

    def show(self, value: float, unit: str) -> str:
        """A figure of a sentence in the speaker's measure, to two digits that count."""
        amount, _, name = show(value, unit, self.kitchen.measure, both=False).partition(" ")
        figure = float(amount.replace(",", ""))
        digits = 1 - floor(log10(abs(figure))) if figure else 0
        rounded = round(figure, digits)
        name = "cup" if name == "cups" and rounded <= 1 else name
        return f"{rounded:,.10g} {name}"

    def dried_water(self, food: str) -> float:
        """Water of the dried food, fraction: as analysed, else the usual end point."""
        own = self.use.food(food).dried_water
        if own is not None:
            return own
        row = self.foods.get(food)
        return (row.end_moisture_likely if row is not None else None) or 0.07


def number(
    name: str, span: Span, unit: str, batch: str | None, sources: Iterable[str] = (), **more: object
) -> Number:
    """A Number from a range; ``assumes`` and ``driver`` may follow."""
    made = Number(
        name, span.low, span.likely, span.high, unit, batch,
        sources=tuple(dict.fromkeys(sources)),
    )  # fmt: skip
    assumes, driver = more.get("assumes", ()), more.get("driver", "")
    if not isinstance(assumes, tuple) or not isinstance(driver, str):
        raise TypeError("assumes is a tuple of phrases and driver a phrase")
    return replace(made, assumes=assumes, driver=driver)
