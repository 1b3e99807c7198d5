"""Tables of pickles, powders, mixes and soaking: how foods pack, swell, weigh by the spoon.

    kitchen_use().foods["beet"]          class, shape, trim, bulk density, style, allergen
    kitchen_use().pack("slices", "")     grams that go into a millilitre of jar, firm and soft
    kitchen_use().styles["dill-and-garlic"], .soak("carrot", "root"), .recipes["herb-salt"] …

Only what the other tables do not hold stands here; water of fresh food is in foods.csv.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache, cached_property
from pathlib import Path
from typing import Any, TypeVar

from stillroom.base.cache import digest, fetch, keep
from stillroom.base.files import Row, read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError
from stillroom.tables.cells import bad_cell, items, number, sources
from stillroom.tables.kitchen_rows import (
    ByProduct,
    Draw,
    Equal,
    FoodUse,
    Grind,
    Pack,
    Recipe,
    RecipePart,
    SoakRow,
    StandIn,
    Style,
    Triple,
)

T = TypeVar("T")


def _need(row: Row, column: str) -> float:
    value = number(row, column)
    if value is None:
        raise bad_cell(row, column, "a number")
    return value


def _triple(row: Row, stem: str, ends: tuple[str, str, str] = ("_low", "", "_high")) -> Triple:
    low, likely, high = (_need(row, stem + end) for end in ends)
    if not 0 <= low <= likely <= high:
        raise bad_cell(row, stem, "low, likely and high in rising order")
    return low, likely, high


def _food(row: Row) -> FoodUse:
    water = number(row, "water_dried_pct")
    return FoodUse(
        row["food"], row["class"], row["shape"], (number(row, "trim_pct") or 0.0) / 100,
        None if water is None else water / 100, _need(row, "dried_g_per_ml"),
        row["pickle_style"], row["allergen"], sources(row),
    )  # fmt: skip


def _pack(row: Row) -> Pack:
    return Pack(
        row["cut"], row["class"], _triple(row, "firm"), _triple(row, "soft"),
        _need(row, "spare_pct") / 100, row["note"], sources(row),
    )  # fmt: skip


def _style(row: Row) -> Style:
    share = _need(row, "vinegar_share")
    if not 0 < share <= 1:
        raise bad_cell(row, "vinegar_share", "a share above 0, at most 1")
    return Style(
        row["id"], row["name"], items(row, "words"), share, _need(row, "sugar_g_per_l"),
        _need(row, "salt_g_per_l"), _need(row, "presalt_g_per_kg"), _need(row, "presalt_hours"),
        _need(row, "solids_headspace_in"), row["spices"], row["hot"] == "yes", row["ratio_of"],
        sources(row),
    )  # fmt: skip


def _draw(row: Row) -> Draw:
    return Draw(
        row["cut"], row["class"], _need(row, "hours"), row["pressed"] == "yes",
        _triple(row, "loss"), row["note"], sources(row),
    )  # fmt: skip


def _grind(row: Row) -> Grind:
    return Grind(
        row["class"], row["grind"], _triple(row, "g_per_ml"), _triple(row, "loss"), row["note"],
        sources(row),
    )  # fmt: skip


def _soak(row: Row) -> SoakRow:
    cold = number(row, "cold_low"), number(row, "cold_high")
    return SoakRow(
        row["food"], _triple(row, "water"),
        (_need(row, "minutes_low"), _need(row, "minutes_high")),
        None if cold[0] is None or cold[1] is None else (cold[0], cold[1]), row["water_is"],
        _need(row, "swells"), row["note"], sources(row),
    )  # fmt: skip


def _equal(row: Row) -> Equal:
    low = _need(row, "dried_amount")
    return Equal(
        row["food"], row["fresh_is"], _need(row, "fresh_amount"), row["fresh_unit"], low,
        number(row, "dried_amount_max") or low, row["dried_unit"], row["form"], row["basis"],
        sources(row),
    )  # fmt: skip


def _recipe(entry: Mapping[str, Any]) -> Recipe:
    base_ml = tuple(float(value) for value in entry.get("base_ml") or ())
    parts = tuple(RecipePart(**part) for part in entry["parts"])
    if len(base_ml) not in (0, 3) or list(base_ml) != sorted(base_ml):
        raise ValueError("base_ml wants low, likely and high, or nothing")
    if not parts or any(part.g <= 0 for part in parts):
        raise ValueError("every part needs a mass above zero")
    return Recipe(
        entry["id"], entry["name"], tuple(entry["words"]), parts, entry["base"],
        entry.get("base_allergen", ""), (base_ml[0], base_ml[1], base_ml[2]) if base_ml else None,
        float(entry["rest_hours"]), int(entry["serves"]), entry["how"], (entry["source"],),
    )  # fmt: skip


def _mixes(text: str) -> Any:
    """The YAML of the mixes, read once; kept, because YAML is slow to read.

    Raises:
        ValueError: it is not YAML.
    """
    key = digest("mixes", text)
    data = fetch(key)
    if data is None:
        import yaml

        try:
            data = yaml.safe_load(text)
        except yaml.YAMLError as error:
            raise ValueError(str(error)) from error
        keep(key, data)
    return data


class KitchenUse:
    """The tables of one folder; each is read on first use.

    Raises:
        ProblemError: on reading a table with a fault (file and line are named).
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def _rows(self, name: str, make: Callable[[Row], T]) -> list[T]:
        return [make(row) for row in read_csv(self.folder / name, ("source",))]

    @cached_property
    def foods(self) -> dict[str, FoodUse]:
        """Foods by canonical name."""
        return {use.food: use for use in self._rows("kitchen_use.csv", _food)}

    @cached_property
    def packs(self) -> dict[tuple[str, str], Pack]:
        """Pack fractions by cut and class; class empty for all others."""
        return {(row.cut, row.kind): row for row in self._rows("brine_pack.csv", _pack)}

    @cached_property
    def styles(self) -> dict[str, Style]:
        """Pickle styles by id."""
        return {style.id: style for style in self._rows("pickle_styles.csv", _style)}

    @cached_property
    def draws(self) -> list[Draw]:
        """Juice lost by salting and pressing."""
        return self._rows("brine_draw.csv", _draw)

    @cached_property
    def grinds(self) -> dict[tuple[str, str], Grind]:
        """Powders by class and grind."""
        return {(row.kind, row.grind): row for row in self._rows("powder_use.csv", _grind)}

    @cached_property
    def soaks(self) -> dict[str, SoakRow]:
        """Soaking by food, then by class, then ``any``."""
        return {row.food: row for row in self._rows("rehydration_use.csv", _soak)}

    @cached_property
    def equals(self) -> list[Equal]:
        """Published equivalents."""
        return self._rows("equivalents_use.csv", _equal)

    @cached_property
    def stand_ins(self) -> dict[str, StandIn]:
        """What can stand in for a food."""
        rows = self._rows(
            "stand_ins.csv",
            lambda row: StandIn(row["food"], items(row, "instead"), row["how"], sources(row)),
        )
        return {row.food: row for row in rows}

    @cached_property
    def byproducts(self) -> list[ByProduct]:
        """Peels, cores, stems and what to do with them."""
        return self._rows(
            "byproducts.csv",
            lambda row: ByProduct(row["food"], items(row, "parts"), row["text"], sources(row)),
        )

    @cached_property
    def recipes(self) -> dict[str, Recipe]:
        """Dry mixes by id."""
        path = self.folder / "mix_recipes.yaml"
        try:
            data = _mixes(path.read_text(encoding="utf-8"))
            return {recipe.id: recipe for recipe in map(_recipe, data["recipes"])}
        except (OSError, KeyError, TypeError, ValueError) as error:
            raise ProblemError(
                Problem(str(path), 0, 0, "bad-recipes", f"The mixes cannot be read: {error}."),
                exit_status=3,
            ) from error

    def food(self, name: str) -> FoodUse:
        """A food's row; a food without one counts as a solid vegetable, and says so."""
        return self.foods.get(name) or FoodUse(
            name, "other", "solid", 0.1, None, 0.35, "", "", ("common-practice",)
        )

    def pack(self, cut: str, kind: str) -> Pack:
        """How tightly a cut packs, the class's own row first."""
        return self.packs.get((cut, kind)) or self.packs[cut, ""]

    def draw(self, cut: str, kind: str, *, pressed: bool) -> Draw:
        """The nearest row for salted or pressed pieces."""
        fits = [row for row in self.draws if row.cut == cut and row.kind in ("", kind)]
        exact = [row for row in fits if row.pressed == pressed]
        best = max(exact or fits, key=lambda row: bool(row.kind), default=None)
        return best or next(row for row in self.draws if row.cut == "any")

    def soak(self, food: str, kind: str) -> SoakRow:
        """Soaking of a food, else of its class, else of most vegetables."""
        return self.soaks.get(food) or self.soaks.get(kind) or self.soaks["any"]

    def grind(self, kind: str, grind: str = "fine") -> Grind:
        """Powder figures of a class; ``coarse`` scales the fine row."""
        fine = self.grinds.get((kind, "fine")) or self.grinds["other", "fine"]
        if grind == "fine":
            return fine
        coarse = self.grinds["any", "coarse"]
        low, likely, high = (a * b for a, b in zip(fine.g_per_ml, coarse.g_per_ml, strict=True))
        return Grind(kind, grind, (low, likely, high), coarse.loss, fine.note, fine.sources)

    def density(self, food: str, form: str) -> float:
        """Likely g to a ml of a dried food in some form: ``powder``, else pieces, flakes, leaf."""
        use = self.food(food)
        if form == "powder":
            return self.grind(use.kind).g_per_ml[1]
        return use.dried_g_per_ml


@cache
def kitchen_use() -> KitchenUse:
    """The program's own tables."""
    return KitchenUse(knowledge_dir())
