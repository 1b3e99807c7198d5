"""What the equations need to know about a food, as records that the caller fills from tables."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from stillroom.science.range import Range


@dataclass(frozen=True)
class Isotherm:
    """A moisture isotherm: how much water a food holds in balance with air.

    Args:
        food: the food it was measured on.
        form: ``gab`` (constants follow exp(H/RT)), ``oswin`` (linear in kelvin), or ``drier``
            (the drier answer of ``parts``).
        figures: ``gab``: m0, h_m, c0, h_c, k0, h_k (kg/kg dry, kJ/mol); ``oswin``: k0, k1, n0, n1
            (percent dry basis, kelvin).
        low_c: lowest temperature measured; below it, this temperature is used.
        high_c: highest temperature measured; above it, this temperature is used.
        source: id of knowledge/sources.csv.
        parts: for ``drier``.
    """

    food: str
    form: str
    figures: tuple[float, ...]
    low_c: float
    high_c: float
    source: str
    parts: tuple[Isotherm, ...] = ()


@dataclass(frozen=True)
class FoodConstants:
    """A food as the equations see it.

    Args:
        food: its name.
        food_class: the class whose drying constant is used.
        water_low: driest fresh food in the tables, water fraction, wet basis [1].
        water_likely: usual.
        water_high: wettest.
        end_low: driest usual end point, water fraction, wet basis [1].
        end_likely: the usual end point.
        end_high: wettest end point that still counts as dry.
        solids_spread: factor by which dry matter varies with kind, ripeness and season beyond
            the tables' own range [1].
        rate_per_h: falling-rate constant at 60 deg C of a 6 mm slice [1/h].
        rate_spread: factor within which that constant is known [1].
        activation_kj_mol: how strongly it grows with temperature [kJ/mol].
        isotherm: borrowed or own; None when there is none.
        whole_mm: across a whole piece [mm]; 0 when unknown.
        known: false when the food is not in the tables and its class stands in.
        sources: ids of knowledge/sources.csv.
    """

    food: str
    food_class: str
    water_low: float
    water_likely: float
    water_high: float
    end_low: float
    end_likely: float
    end_high: float
    solids_spread: float = 1.15
    rate_per_h: float = 0.5
    rate_spread: float = 1.5
    activation_kj_mol: float = 30.0
    isotherm: Isotherm | None = None
    whole_mm: float = 0.0
    known: bool = True
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in ("water", "end"):
            low, likely, high = (
                getattr(self, f"{name}_{end}") for end in ("low", "likely", "high")
            )
            if not 0 <= low <= likely <= high < 1:
                raise ValueError(
                    f"{self.food}: {name} {low}, {likely}, {high} must rise within 0 and 1"
                )
        if self.end_likely >= self.water_likely:
            raise ValueError(f"{self.food}: dried moisture is not below fresh moisture")

    @property
    def solids(self) -> Range:
        """Dry matter of the fresh food, fraction of its mass, with the variation of the class."""
        spread = self.solids_spread
        return Range(
            (1 - self.water_high) / spread,
            1 - self.water_likely,
            min(0.98, (1 - self.water_low) * spread),
            sources=self.sources,
        )

    @property
    def end(self) -> Range:
        """Moisture when dry, wet basis [1]."""
        return Range(self.end_low, self.end_likely, self.end_high)

    def ending(self, low: float, likely: float, high: float) -> FoodConstants:
        """A copy with another end point (a published or said target)."""
        return replace(self, end_low=low, end_likely=likely, end_high=high)


@dataclass(frozen=True)
class DryerModel:
    """Constants of the drying-time model that are the same for every food.

    Args:
        supply_kg_m2_h: most water a loaded home dryer carries off, per tray area [kg/(m2 h)].
        supply_spread: factor within which that is known.
        exponent: how the falling-rate time grows with thickness (1 surface, 2 diffusion).
        heat_transfer: usual W/(m2 K) at ``air_speed`` in a home dryer.
        air_speed: m/s that ``heat_transfer`` belongs to.
        oven_factor: how much longer an oven takes than a dryer with a fan.
        home_speed: air speed over the trays of a home dryer, which the classes' rates belong to
            [m/s].
        speed_exponent: how the falling rate grows with air speed, up to ``full_speed``.
        full_speed: above it, more air helps no more [m/s].
        sources: ids of knowledge/sources.csv.
    """

    supply_kg_m2_h: float = 0.39
    supply_spread: float = 1.3
    exponent: float = 1.5
    heat_transfer: float = 15.0
    air_speed: float = 1.0
    oven_factor: float = 2.0
    home_speed: float = 0.5
    speed_exponent: float = 0.48
    full_speed: float = 1.5
    sources: tuple[str, ...] = ()


def _fields(rows: Iterable[Mapping[str, str]]) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for row in rows:
        found.setdefault(row["class"], {})[row["name"]] = row["value"]
        if row.get("source"):
            found[row["class"]].setdefault("sources", "")
            found[row["class"]]["sources"] += f" {row['source']}"
    return found


@dataclass(frozen=True)
class ModelTable:
    """knowledge/drying_model.csv, read: the model and the constants of each food class."""

    dryer: DryerModel
    classes: Mapping[str, Mapping[str, str]]
    isotherms: Mapping[str, Isotherm]
    sizes: Mapping[str, float]

    @classmethod
    def from_rows(cls, rows: Iterable[Mapping[str, str]]) -> ModelTable:
        """Build from rows with the columns class, name, value, unit, source, note.

        Raises:
            ValueError: a figure is missing or is not a number.
        """
        found = _fields(rows)
        model = found.pop("model")
        dryer = DryerModel(
            **{
                name: float(model[name])
                for name in (
                    "supply_kg_m2_h", "supply_spread", "exponent", "heat_transfer", "air_speed",
                    "oven_factor", "home_speed", "speed_exponent", "full_speed",
                )
            },
            sources=tuple(dict.fromkeys(model.get("sources", "").split())),
        )  # fmt: skip
        isotherms = {
            name.removeprefix("isotherm:"): Isotherm(
                food=name.removeprefix("isotherm:"),
                form=cells["form"],
                figures=tuple(float(part) for part in cells["figures"].split("|")),
                low_c=float(cells["low_c"]),
                high_c=float(cells["high_c"]),
                source=cells["sources"].split()[0],
            )
            for name, cells in found.items()
            if name.startswith("isotherm:")
        }
        both = tuple(isotherms.values())
        isotherms["drier"] = Isotherm(
            " or ".join(sorted(isotherms)), "drier", (), 17, 60, both[0].source, both
        )
        sizes = {
            name.removeprefix("size:"): float(cells["whole_mm"])
            for name, cells in found.items()
            if name.startswith("size:")
        }
        classes = {name: cells for name, cells in found.items() if ":" not in name}
        return cls(dryer, classes, isotherms, sizes)

    def class_of(self, food_class: str, group: str = "") -> str:
        """The class whose constants serve: the food's own, else its group's, else vegetable.

        Args:
            food_class: id of classes.csv.
            group: the food's group.
        """
        for name in (food_class, f"any-{group}"):
            if name in self.classes:
                return name
        return "any-vegetable"

    def constants(
        self,
        food: str,
        food_class: str = "",
        group: str = "",
        water: tuple[float, float, float] | None = None,
        end: tuple[float, float, float] | None = None,
    ) -> FoodConstants:
        """The constants of a food, its class or group standing in for what is not known.

        Args:
            food: canonical name.
            food_class: id of classes.csv.
            group: the food's group.
            water: fresh moisture low, likely, high, wet basis [1].
            end: dried moisture low, likely, high, wet basis [1].

        Returns:
            The record; ``known`` is false, and the ranges wider, when the class or ``water``
            is not known.
        """
        name = self.class_of(food_class, group)
        cells = self.classes[name]
        own_class = name == food_class
        fresh = water or _triple(cells, "water")
        target = end or _triple(cells, "end")
        return FoodConstants(
            food,
            name,
            *fresh,
            *target,
            solids_spread=float(cells["solids_spread"]) * (1.0 if water else 1.25),
            rate_per_h=float(cells["rate_per_h"]),
            rate_spread=float(cells["rate_spread"]) * (1.0 if own_class else 1.25),
            activation_kj_mol=float(cells["activation_kj_mol"]),
            isotherm=self.isotherms.get(cells["isotherm"]),
            whole_mm=float(self.sizes.get(food, 0.0)),
            known=water is not None and own_class,
            sources=tuple(dict.fromkeys(cells.get("sources", "").split())),
        )


def _triple(cells: Mapping[str, str], name: str) -> tuple[float, float, float]:
    low, likely, high = (float(part) for part in cells[name].split("|"))
    return low, likely, high
