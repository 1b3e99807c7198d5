"""What a cup, a bunch, a bushel or a piece of a food weighs, and what trimming takes off.

Weights of pieces in the food database are of the part that is eaten; what a whole piece weighs
with its skin or stone lies towards the high end of the range.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from stillroom.base.files import Row, read_csv
from stillroom.tables.cells import bad_cell, items, number, sources
from stillroom.tables.food import Food

CUP_ML = 236.5882365
_ML = {"cup": CUP_ML, "tbsp": CUP_ML / 16, "tsp": CUP_ML / 48, "pt": 2 * CUP_ML,
       "bushel": 35239.07016688}  # fmt: skip
VOLUME_UNITS = frozenset((
    "ml", "cl", "dl", "l", "tsp", "tbsp", "floz", "cup", "pt", "qt", "gal", "peck", "bushel",
    "pinch",
))  # fmt: skip
# Units that a count of pieces may stand for where the food has no row of its own.
_SAME = {"bulb": "head", "ear": "count", "head": "count", "stalk": "count", "spear": "count"}
# Cuts that fill a measure much alike, the nearest first.
_NEAR = {
    "sliced": ("chopped", "quartered", "strips", "diced", "halved"),
    "strips": ("sliced", "chopped"), "spears": ("strips", "sliced", "chopped"),
    "diced": ("chopped", "sliced"), "chopped": ("diced", "sliced", "quartered"),
    "minced": ("chopped", "diced"), "shredded": ("chopped", "sliced"),
    "halved": ("quartered", "sliced", "whole"), "quartered": ("chopped", "sliced", "halved"),
    "florets": ("chopped",), "leaves": ("whole", "chopped"), "whole": ("halved", "leaves"),
    "pureed": (), "powdered": (),
}  # fmt: skip
# Grams to a cup where no table has the food: middle and range over the foods that have a row.
_BY_CUT = {
    "pureed": (220.0, 245.0, 255.0), "shredded": (70.0, 105.0, 140.0),
    "powdered": (70.0, 105.0, 160.0), "leaves": (15.0, 25.0, 45.0),
}  # fmt: skip
_RAW_CUP = (90.0, 125.0, 165.0)
_DRIED_CUP = {"herb": (15.0, 30.0, 45.0), "fruit": (85.0, 140.0, 180.0)}
_DRIED_ELSE = (35.0, 60.0, 100.0)
# A sourced figure without a range of its own: how a person fills a cup, or picks a piece.
_SPREAD = 0.15
PORTION_COLUMNS = (
    "food", "named", "form", "unit", "size", "cut", "grams", "grams_low", "grams_high", "text",
    "source",
)  # fmt: skip
REFUSE_COLUMNS = ("food", "named", "preps", "loss_pct", "of", "source")


@dataclass(frozen=True)
class Figure:
    """A figure with its range and sources; ``exact`` is false when a like case stands in."""

    low: float
    likely: float
    high: float
    sources: tuple[str, ...] = ()
    exact: bool = True

    def times(self, factor: float) -> Figure:
        """The same figure in another unit."""
        return Figure(
            self.low * factor, self.likely * factor, self.high * factor, self.sources, self.exact
        )

    def inexact(self, spread: float) -> Figure:
        """The same with a wider range, marked as standing in."""
        return Figure(
            self.low * (1 - spread), self.likely, self.high * (1 + spread), self.sources, False
        )


def _figure(row: Row) -> Figure:
    likely = number(row, "grams")
    if likely is None or likely <= 0:
        raise bad_cell(row, "grams", "a weight in grams above 0")
    low = number(row, "grams_low") or likely * (1 - _SPREAD)
    high = number(row, "grams_high") or likely * (1 + _SPREAD)
    if not low <= likely <= high:
        raise bad_cell(row, "grams", "a weight between grams_low and grams_high")
    return Figure(low, likely, high, sources(row))


Key = tuple[str, str, str, str, str]


class Portions:
    """knowledge/portions.csv, by food, form, unit, size and cut.

    Args:
        rows: the rows; of several with one key the first that carries the food's own name counts.
        foods: the foods, for what stands in where a food has no row.
    """

    def __init__(self, rows: Iterable[Row], foods: Mapping[str, Food]) -> None:
        self._foods = foods
        self._by: dict[Key, Figure] = {}
        later: list[tuple[Key, Figure]] = []
        for row in rows:
            key = (row["food"], row["form"], row["unit"], row["size"], row["cut"])
            figure = _figure(row)
            if row["named"] == row["food"]:
                self._by.setdefault(key, figure)
            else:
                later.append((key, figure))
        for key, figure in later:
            self._by.setdefault(key, figure)

    def _row(self, food: str, form: str, unit: str, size: str = "", cut: str = "") -> Figure | None:
        return self._by.get((food, form, unit, size, cut))

    def _measures(self, food: str, form: str, cut: str) -> Figure | None:
        """Grams to a ml from any kitchen measure that has this cut."""
        for unit in ("cup", "tbsp", "tsp", "pt"):
            found = self._row(food, form, unit, "", cut)
            if found:
                return found.times(1 / _ML[unit])
        return None

    def density(self, food: str, form: str = "raw", cut: str = "") -> Figure | None:
        """How a food fills a measure [g/ml].

        Args:
            food: canonical name.
            form: raw, dried, powder, low-moisture or freeze-dried.
            cut: a cut of the interface, or empty.

        Returns:
            The figure, a like cut's or the class's in its place; None for a food not known.
        """
        if food not in self._foods:
            return None
        if form == "powder":
            return self._powder(food)
        own = self._measures(food, form, cut)
        if own:
            return own
        for near in (*_NEAR.get(cut, ()), "", "whole", "sliced", "chopped", "diced", "leaves"):
            found = self._measures(food, form, near)
            if found and not (cut in _BY_CUT and near not in _NEAR[cut]):
                return found.inexact(0.1)
        bushel = self._row(food, form, "bushel")
        if bushel and cut in ("", "whole"):
            return bushel.times(1 / _ML["bushel"])
        return self._fallback(self._foods[food].group, form, cut)

    def _powder(self, food: str) -> Figure:
        own = self._measures(food, "powder", "") or self._measures(food, "dried", "powdered")
        return own or self._fallback("", "powder", "")

    @staticmethod
    def _fallback(group: str, form: str, cut: str) -> Figure:
        if form == "powder":
            cup = _BY_CUT["powdered"]
        elif form != "raw":
            cup = _DRIED_CUP.get(group, _DRIED_ELSE)
        elif group == "herb" and cut != "powdered":
            cup = _BY_CUT["leaves"]
        else:
            cup = _BY_CUT.get(cut, _RAW_CUP)
        return Figure(*cup, ("stillroom-choice",), exact=False).times(1 / CUP_ML)

    def piece(
        self, food: str, unit: str = "count", size: str = "", form: str = "raw"
    ) -> Figure | None:
        """What one piece, bunch, head or clove weighs [g]; None when no table says."""
        for name in (unit, _SAME.get(unit, unit)):
            for of_size in (size, "medium") if not size else (size,):
                found = self._row(food, form, name, of_size)
                if found:
                    return found
        return self._scaled(food, unit, size, form) if size else None

    def _scaled(self, food: str, unit: str, size: str, form: str) -> Figure | None:
        """A size that has no row: the unsized piece, smaller or larger by practice."""
        base = self.piece(food, unit, "", form)
        factor = {"small": 0.65, "medium": 1.0, "large": 1.5}.get(size)
        return base.times(factor).inexact(0.1) if base and factor else None

    def portion_g(
        self,
        food: str,
        unit: str,
        size: str | None = None,
        cut: str | None = None,
        form: str | None = None,
    ) -> Figure | None:
        """Grams to one SI unit of what was said: to a ml for volumes, to a piece for counts.

        Args:
            food: canonical name.
            unit: a unit id of units.csv that is a volume or a count.
            size: small, medium, large or None.
            cut: a cut of the interface or None.
            form: raw (the default), dried, powder, low-moisture, freeze-dried.

        Returns:
            g/ml for a volume unit, g for a count unit; None when nothing is known.
        """
        form = form or ("powder" if cut == "powdered" else "raw")
        if unit in VOLUME_UNITS:
            if unit in ("bushel", "peck"):
                whole = self._row(food, form, "bushel")
                if whole:
                    return whole.times(1 / _ML["bushel"])
            return self.density(food, form, cut or "")
        return self.piece(food, "count" if unit == "dozen" else unit, size or "", form)


_CAUSES = {"trimmed": "trimmed", "stemmed": "trimmed"}


class Refuse:
    """knowledge/refuse.csv: what peeling, coring, pitting and trimming take off."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self._by: dict[str, list[tuple[frozenset[str], float, tuple[str, ...]]]] = {}
        for row in rows:
            percent = number(row, "loss_pct")
            if percent is None or not 0 <= percent < 100:
                raise bad_cell(row, "loss_pct", "a percentage from 0 to below 100")
            causes = frozenset(_CAUSES.get(prep, prep) for prep in items(row, "preps"))
            self._by.setdefault(row["food"], []).append((causes, percent / 100, sources(row)))

    def loss(self, food: str, preps: Iterable[str]) -> Figure:
        """The fraction that preparation takes off the bought weight [1].

        A published figure that lumps several steps counts half when peeling is only one of them;
        the range then runs from a quarter to the whole of it.

        Args:
            food: canonical name.
            preps: steps of the interface; those that take nothing off are ignored.

        Returns:
            Low, likely and high, 0 when nothing comes off.
        """
        done = {_CAUSES.get(prep, prep) for prep in preps}
        low = likely = high = 0.0
        found: list[str] = []
        for causes, share, ids in self._by.get(food, ()):
            hit = causes & done
            if not hit:
                continue
            partly = "peeled" in causes and len(causes) > 1 and not causes <= done
            low += share * (0.25 if partly else 0.7)
            likely += share * (0.5 if partly else 1.0)
            high += share * (1.0 if partly else 1.25)
            found += ids
        return Figure(low, likely, min(high, 0.9), tuple(dict.fromkeys(found)))


def read_portions(folder: Path, foods: Mapping[str, Food]) -> Portions:
    """The portions of a folder."""
    return Portions(read_csv(folder / "portions.csv", PORTION_COLUMNS), foods)


def read_refuse(folder: Path) -> Refuse:
    """The refuse table of a folder."""
    return Refuse(read_csv(folder / "refuse.csv", REFUSE_COLUMNS))
