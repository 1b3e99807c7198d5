"""One row each of the tables of pickles, powders, mixes and soaking; see kitchen_use.py."""

from __future__ import annotations

from dataclasses import dataclass

Triple = tuple[float, float, float]


@dataclass(frozen=True)
class FoodUse:
    """How a food behaves in jar, mill and spoon; ``dried_water`` is a fraction, wet basis."""

    food: str
    kind: str
    shape: str
    trim: float
    dried_water: float | None
    dried_g_per_ml: float
    pickle_style: str
    allergen: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Pack:
    """Produce in g to a ml of jar below the headspace: firm pieces, and limp ones.

    ``spare`` is the part of the brine that is made beyond what the jars take.
    """

    cut: str
    kind: str
    firm: Triple
    soft: Triple
    spare: float
    note: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Style:
    """A pickle style: a published ratio by the litre of vinegar plus water."""

    id: str
    name: str
    words: tuple[str, ...]
    vinegar_share: float
    sugar_g_per_l: float
    salt_g_per_l: float
    presalt_g_per_kg: float
    presalt_hours: float
    solids_headspace_in: float
    spices: str
    hot: bool
    ratio_of: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Draw:
    """Part of salted or pressed pieces that runs off as juice."""

    cut: str
    kind: str
    hours: float
    pressed: bool
    loss: Triple
    note: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Grind:
    """Bulk density in g/ml (or the part of the fine powder's) and loss of a grind."""

    kind: str
    grind: str
    g_per_ml: Triple
    loss: Triple
    note: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class SoakRow:
    """Soaking of a food or class: ml water to a ml dried, minutes, swelling by volume."""

    food: str
    water: Triple
    minutes: tuple[float, float]
    cold_minutes: tuple[float, float] | None
    water_is: str
    swells: float
    note: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Equal:
    """A published equivalent of fresh and dried."""

    food: str
    fresh_is: str
    fresh_amount: float
    fresh_unit: str
    dried_low: float
    dried_high: float
    dried_unit: str
    form: str
    basis: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class StandIn:
    """Foods that can stand in for another, and how."""

    food: str
    instead: tuple[str, ...]
    how: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class ByProduct:
    """What becomes of the parts of a food that are not dried; ``herb`` and ``any`` are wide."""

    food: str
    parts: tuple[str, ...]
    text: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class RecipePart:
    """A part of a mix, g for one lot; ``g_per_ml`` None: by form and food."""

    food: str
    form: str
    g: float
    optional: bool = False
    keep_back: bool = False
    g_per_ml: float | None = None
    allergen: str = ""


@dataclass(frozen=True)
class Recipe:
    """A dry mix of our own; ``base_ml`` is None where it is used by the spoon."""

    id: str
    name: str
    words: tuple[str, ...]
    parts: tuple[RecipePart, ...]
    base: str
    base_allergen: str
    base_ml: Triple | None
    rest_hours: float
    serves: int
    how: str
    sources: tuple[str, ...]

    @property
    def spoken(self) -> list[str]:
        """What the mix is called, one or several of it; a name of one word says too little."""
        names = [self.name, *self.words]
        names += [f"{name} mix" for name in names if not name.endswith("mix")]
        many = [f"{name}es" if name.endswith("mix") else f"{name}s" for name in names]
        return list(dict.fromkeys(name for name in (*names, *many) if " " in name))
