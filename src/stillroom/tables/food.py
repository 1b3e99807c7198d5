"""Foods: a row of foods.csv over the row of classes.csv that it belongs to.

What a food's row leaves empty is its class's, so that one row with id, name, class, words, water
and source is enough for a new food. Temperatures stand in deg F in the files, because the sources
give them so, and in deg C here. Water, sugar and moisture are percent in the files and fractions
here; water is always on the wet basis.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from stillroom.base.files import Row, read_csv
from stillroom.base.problem import Problem, ProblemError
from stillroom.base.quantity import to_celsius
from stillroom.tables.cells import Span, bad_cell, items, number, one_of, sources, span, triple

GROUPS = (
    "vegetable", "fruit", "herb", "meat", "poultry", "fish", "egg", "dairy", "legume", "grain",
    "nut", "seasoning",
)  # fmt: skip
ACID = ("acid", "low-acid")
JUICY = ("high", "medium", "low")
SMELL = ("strong", "mild")
DRYNESS = (
    "brittle", "crisp", "leathery", "pliable", "crumbly", "tough", "hard", "tender",
)  # fmt: skip
PRETREAT = ("none", "blanch-steam", "blanch-water", "crack-skin", "precook", "optional-acid-dip")
GUIDANCE = ("published", "class", "none")
QUALITY = ("excellent", "good", "fair", "poor", "not-recommended")
SURFACES = ("mesh", "fine-mesh", "solid-sheet")

FOOD_COLUMNS = (
    "id", "name", "plural", "class", "group", "words", "misheard", "water_pct", "sugar_g_per_100g",
    "acid", "ph", "juicy", "smell", "usual_cuts", "look_alikes", "keeps_fresh_days", "temp_f",
    "temp_low_f", "temp_high_f", "dryness", "dryness_text", "pretreat", "steam_min", "water_min",
    "hours", "end_moisture_pct", "conditioning_days", "keep_60f_months", "keep_70f_months",
    "keep_80f_months", "guidance", "dried_quality", "water_source", "ph_source", "temp_source",
    "dryness_source", "pretreat_source", "hours_source", "keep_source",
)  # fmt: skip
CLASS_COLUMNS = (
    "id", "name", "temp_f", "temp_low_f", "temp_high_f", "dryness", "dryness_text", "pretreat",
    "steam_min", "water_min", "end_moisture_pct", "conditioning_days", "hours", "keep_60f_months",
    "keep_70f_months", "keep_80f_months", "water_pct", "sugar_g_per_100g", "acid", "juicy",
    "smell", "usual_cuts", "surface", "fine_surface", "keeps_fresh_days", "temp_source",
    "dryness_source", "pretreat_source", "end_moisture_source", "conditioning_source",
    "keep_source", "water_source", "other_source",
)  # fmt: skip

# Prefix of a Food field -> the key of ``Food.sources``.
_TOPIC = (
    ("temperature", "temperature"), ("dryness", "dryness"), ("pretreat", "pretreat"),
    ("blanch", "pretreat"), ("steam", "pretreat"), ("water_min", "pretreat"), ("hours", "hours"),
    ("end_moisture", "end_moisture"), ("conditioning", "conditioning"), ("keep_", "keeping"),
    ("water", "water"), ("sugar", "water"), ("ph", "ph"), ("acid", "ph"),
)  # fmt: skip


@dataclass(frozen=True)
class Food:
    """One canonical food with everything merged.

    Args:
        id: the canonical name of the machine-readable interface.
        name: what the screen calls it.
        plural: the same, several.
        group: one of ``GROUPS``.
        food_class: id of its classes.csv row.
        words: every lower-case spelling that means it, plurals and regional names included.
        misheard: what a transcript may hear in its place; also words in their own right, so
            they count only where the sentence leaves no other reading.
        acid: ``acid`` or ``low-acid``; where the span of pH crosses 4.6 the safe side is taken.
        ph_low: lowest pH found, or None.
        ph_high: highest pH found, or None.
        water_low: water fraction of the fresh food, wet basis [1]; likewise likely and high.
        sugar_fraction: sugars in the fresh food [1].
        juicy: high, medium or low: how much juice cut pieces shed.
        smell: strong or mild: strong ones dry apart from mild ones.
        usual_cuts: cuts of the interface, the usual one first.
        surface: tray surface for pieces; ``fine_surface`` for shredded or pureed.
        temperature_c: recommended air temperature [deg C], None where drying is not advised.
        temperature_low_c: lowest that modern sources give [deg C]; likewise high.
        dryness: the words of the dryness test, the main one first.
        dryness_text: the test as a phrase.
        pretreat: one of ``PRETREAT``.
        steam_min: steaming time [min] where that is a choice; ``water_min`` in boiling water.
        end_moisture_low: water fraction when dry enough, wet basis [1]; likewise likely and high.
        conditioning_days: days in the conditioning jar; 0 where food is not conditioned.
        hours_low: published modern drying hours over all cuts [h], None where none are published.
        guidance: ``published`` for this food, ``class`` for its kind only, or ``none``.
        dried_quality: how well it dries, as rated; empty where not rated.
        look_alikes: foods that look the same when dried or powdered.
        keeps_fresh_days: days it waits in a cool kitchen before it must be used.
        keep_60f: months (low, high) it keeps when dried at 60 deg F (15.6 deg C); None unknown.
        sources: source ids by topic; ``sources_for`` takes a field name.
    """

    id: str
    name: str
    plural: str
    group: str
    food_class: str
    words: tuple[str, ...]
    misheard: tuple[str, ...]
    acid: str
    ph_low: float | None
    ph_high: float | None
    water_low: float
    water_likely: float
    water_high: float
    sugar_fraction: float
    juicy: str
    smell: str
    usual_cuts: tuple[str, ...]
    surface: str
    fine_surface: str
    temperature_c: float | None
    temperature_low_c: float | None
    temperature_high_c: float | None
    dryness: tuple[str, ...]
    dryness_text: str
    pretreat: str
    steam_min: Span | None
    water_min: Span | None
    end_moisture_low: float | None
    end_moisture_likely: float | None
    end_moisture_high: float | None
    conditioning_days: int
    hours_low: float | None
    hours_high: float | None
    guidance: str
    dried_quality: str
    look_alikes: tuple[str, ...]
    keeps_fresh_days: float
    keep_60f: Span | None
    keep_70f: Span | None
    keep_80f: Span | None
    sources: Mapping[str, tuple[str, ...]] = field(hash=False, compare=False)

    @property
    def blanch_min(self) -> Span | None:
        """Minutes (low, high) for the pretreatment that is advised; None when there is none."""
        if self.pretreat in ("blanch-water", "crack-skin"):
            return self.water_min
        return self.steam_min if self.pretreat == "blanch-steam" else None

    @property
    def blanch_min_low(self) -> float | None:
        """Shortest advised blanching or skin-cracking time [min]."""
        return self.blanch_min[0] if self.blanch_min else None

    @property
    def blanch_min_high(self) -> float | None:
        """Longest advised blanching or skin-cracking time [min]."""
        return self.blanch_min[1] if self.blanch_min else None

    def sources_for(self, name: str) -> tuple[str, ...]:
        """Source ids behind one field, such as ``temperature_c``."""
        for prefix, topic in _TOPIC:
            if name.startswith(prefix):
                return self.sources.get(topic, ())
        return self.sources.get("other", ())


class _Merged(Row):
    """A food's row with the empty cells filled from its class; faults point at the food's row."""


def _merge(row: Row, base: Row) -> _Merged:
    merged = _Merged({**base, **{key: cell for key, cell in row.items() if cell}})
    merged.file, merged.line = row.file, row.line
    for key in FOOD_COLUMNS:
        merged.setdefault(key, "")
    return merged


def _sources(row: Row, base: Row) -> Mapping[str, tuple[str, ...]]:
    """For each topic the food's own sources where it has its own figure, else its class's."""
    found: dict[str, tuple[str, ...]] = {"other": sources(base, "other_source")}
    for topic, cell, column in (
        ("temperature", "temp_f", "temp_source"), ("dryness", "dryness", "dryness_source"),
        ("pretreat", "pretreat", "pretreat_source"), ("hours", "hours", "hours_source"),
        ("keeping", "keep_70f_months", "keep_source"), ("water", "water_pct", "water_source"),
        ("ph", "ph", "ph_source"),
        ("end_moisture", "end_moisture_pct", "end_moisture_source"),
        ("conditioning", "conditioning_days", "conditioning_source"),
    ):  # fmt: skip
        own = sources(row, column) if row.get(cell) else ()
        found[topic] = own or sources(base, column)
    return MappingProxyType(found)


def _plural(word: str) -> str:
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return word[:-1] + "ies"
    return word + ("es" if word.endswith(("s", "sh", "ch", "x")) else "s")


def _words(row: Row, name: str, plural: str) -> tuple[str, ...]:
    """All spellings in lower case; the id, the name and their plurals need not be repeated."""
    found = [row["id"], name, plural, *items(row, "words")]
    return tuple(dict.fromkeys(word.lower() for word in found))


def _percent(values: tuple[float, float, float] | None) -> tuple[float, float, float] | None:
    return None if values is None else (values[0] / 100, values[1] / 100, values[2] / 100)


def _water(row: Row) -> tuple[float, float, float]:
    """Water fractions; a single figure gets 15 % of its solids either way (stillroom-choice)."""
    values = _percent(triple(row, "water_pct"))
    if values is None or values[2] > 1:
        raise bad_cell(row, "water_pct", "percent water, as 92 or 90-92-94")
    low, likely, high = values
    if low == high:
        spread = 0.15 * (1 - likely)
        low, high = max(0.0, likely - spread), min(1.0, likely + spread)
    return low, likely, high


def _celsius(row: Row, column: str) -> float | None:
    value = number(row, column)
    return None if value is None else round(to_celsius(value, "F"), 1)


def _temperatures(row: Row, base: Row) -> tuple[float | None, float | None, float | None]:
    """Recommended, lowest and highest; a food that names only one stays inside its class."""
    likely = _celsius(row, "temp_f") or _celsius(base, "temp_f")
    if likely is None:
        return None, None, None
    own = bool(row.get("temp_low_f"))
    low = _celsius(row if own else base, "temp_low_f") or likely
    high = _celsius(row if row.get("temp_high_f") else base, "temp_high_f") or likely
    if own and not low <= likely <= high:
        raise bad_cell(row, "temp_f", "a temperature between temp_low_f and temp_high_f")
    return likely, min(low, likely), max(high, likely)


def _each_of(row: Row, column: str, allowed: tuple[str, ...]) -> tuple[str, ...]:
    found = items(row, column)
    if not set(found) <= set(allowed):
        raise bad_cell(row, column, f"words out of {', '.join(allowed)}, separated by |")
    return found


def _food(row: Row, base: Row) -> Food:
    merged = _merge(row, base)
    merged["id"] = row["id"]
    name = row["name"] or row["id"]
    plural = row["plural"] or _plural(name)
    low, likely, high = _water(merged)
    warm, coolest, hottest = _temperatures(row, base)
    ph = span(row, "ph")
    hours = span(merged, "hours")
    end = _percent(triple(merged, "end_moisture_pct"))
    return Food(
        id=row["id"], name=name, plural=plural,
        group=one_of(merged, "group", GROUPS), food_class=base["id"],
        words=_words(row, name, plural), misheard=items(row, "misheard"),
        acid=one_of(merged, "acid", ACID),
        ph_low=ph[0] if ph else None, ph_high=ph[1] if ph else None,
        water_low=low, water_likely=likely, water_high=high,
        sugar_fraction=(number(merged, "sugar_g_per_100g") or 0.0) / 100,
        juicy=one_of(merged, "juicy", JUICY), smell=one_of(merged, "smell", SMELL),
        usual_cuts=items(merged, "usual_cuts"),
        surface=one_of(merged, "surface", SURFACES),
        fine_surface=one_of(merged, "fine_surface", SURFACES),
        temperature_c=warm, temperature_low_c=coolest, temperature_high_c=hottest,
        dryness=_each_of(merged, "dryness", DRYNESS), dryness_text=merged["dryness_text"],
        pretreat=one_of(merged, "pretreat", PRETREAT) or "none",
        steam_min=span(merged if not row["pretreat"] else row, "steam_min"),
        water_min=span(merged if not row["pretreat"] else row, "water_min"),
        end_moisture_low=end[0] if end else None,
        end_moisture_likely=end[1] if end else None,
        end_moisture_high=end[2] if end else None,
        conditioning_days=int(number(merged, "conditioning_days") or 0),
        hours_low=hours[0] if hours else None, hours_high=hours[1] if hours else None,
        guidance=one_of(row, "guidance", GUIDANCE) or ("class" if warm else "none"),
        dried_quality=one_of(row, "dried_quality", QUALITY),
        look_alikes=items(row, "look_alikes"),
        keeps_fresh_days=number(merged, "keeps_fresh_days") or 0.0,
        keep_60f=span(merged, "keep_60f_months"), keep_70f=span(merged, "keep_70f_months"),
        keep_80f=span(merged, "keep_80f_months"), sources=_sources(row, base),
    )  # fmt: skip


def read_foods(folder: Path) -> dict[str, Food]:
    """Every food by id.

    Raises:
        ProblemError: one or several rows cannot be read; all of their faults are carried.
    """
    classes = {row["id"]: row for row in read_csv(folder / "classes.csv", CLASS_COLUMNS)}
    foods: dict[str, Food] = {}
    faults: list[Problem] = []
    for row in read_csv(folder / "foods.csv", FOOD_COLUMNS):
        base = classes.get(row["class"])
        if base is None:
            faults.append(
                row.problem(
                    "unknown-class",
                    f"{row['id']} belongs to class {row['class']!r}, which classes.csv lacks.",
                    f"Expected one of {', '.join(sorted(classes))}.",
                )
            )
            continue
        if row["id"] in foods:
            faults.append(
                row.problem("twice", f"The food {row['id']} stands here twice.", "Keep one row.")
            )
            continue
        try:
            foods[row["id"]] = _food(row, base)
        except ProblemError as error:
            faults.extend(error.problems)
    if faults:
        raise ProblemError(faults, exit_status=3)
    return foods
