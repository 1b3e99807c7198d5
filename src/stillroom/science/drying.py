"""Drying time of a load: two stages, always a range, never an end point."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, log, sqrt

from stillroom.science.air import Air, warmed_air
from stillroom.science.balance import dry_basis
from stillroom.science.constants import DryerModel, FoodConstants
from stillroom.science.equilibrium import equilibrium_moisture
from stillroom.science.kinetics import arrhenius, surface_flux, two_stage_time
from stillroom.science.loading import Piece
from stillroom.science.range import Range

REFERENCE_C = 60.0
REFERENCE_MM = 6.0
COOLEST_C, HOTTEST_C = 30.0, 80.0
_FACES = 1.4  # both faces of a layer that covers seven tenths of the tray
_NARROWEST, _WIDEST = 1.25, 2.0


@dataclass(frozen=True)
class Dryer:
    """Where and how a load dries.

    Args:
        temp_c: air temperature [deg C], 30 to 80.
        room_c: kitchen temperature [deg C].
        room_rh: its relative humidity [1].
        altitude_m: height above the sea [m].
        kind: ``home`` (heater and fan shared by full trays), ``laboratory`` (thin layer in an
            ample air stream) or ``oven`` (little air movement).
        air_speed: over the food [m/s]; the usual one when None.
    """

    temp_c: float
    room_c: float = 21.0
    room_rh: float = 0.5
    altitude_m: float = 0.0
    kind: str = "home"
    air_speed: float | None = None

    def __post_init__(self) -> None:
        if not COOLEST_C <= self.temp_c <= HOTTEST_C:
            raise ValueError(
                f"{self.temp_c:g} °C is outside the drying model, "
                f"which holds from {COOLEST_C:g} to {HOTTEST_C:g} °C"
            )
        if self.kind not in ("home", "laboratory", "oven"):
            raise ValueError(f"no such dryer: {self.kind!r}; home, laboratory or oven")
        if self.air_speed is not None and not 0 < self.air_speed <= 8:
            raise ValueError(f"air at {self.air_speed:g} m/s is outside 0 to 8 m/s")

    @property
    def air(self) -> Air:
        """The kitchen's air, warmed."""
        return warmed_air(self.room_c, self.room_rh, self.temp_c, self.altitude_m)


@dataclass(frozen=True)
class Stages:
    """The model's inner figures for one load; moistures kg/kg dry, rates 1/h.

    Args:
        start: moisture at the start.
        critical: below it the rate falls.
        balance: moisture that this air allows.
        end: moisture aimed at.
        rate: falling-rate constant [1/h].
        constant_rate: moisture lost per hour while the surface is wet.
        factor: oven against dryer [1].
    """

    start: float
    critical: float
    balance: float
    end: float
    rate: float
    constant_rate: float
    factor: float = 1.0

    @property
    def hours(self) -> float:
        """Time from start to end [h]."""
        return self.factor * two_stage_time(
            self.start, self.critical, self.balance, self.end, self.constant_rate
        )

    def moisture(self, hours: float) -> float:
        """Moisture after some hours [kg/kg dry]; the curve that plots and weigh-ins use.

        Raises:
            ValueError: the time is negative.
        """
        if hours < 0:
            raise ValueError("time cannot be negative")
        time = hours / self.factor
        wet = max(0.0, self.start - self.critical)
        first = wet / self.constant_rate
        if time <= first:
            return self.start - self.constant_rate * time
        top = min(self.start, self.critical) - self.balance
        return self.balance + top * exp(-self.rate * (time - first))


def stages(
    food: FoodConstants,
    size: Piece,
    dryer: Dryer,
    model: DryerModel,
    load_kg_m2: float | None = None,
) -> Stages:
    """The two stages of a load from its likely constants.

    While the surface is wet the load loses water at the least of what the air can evaporate
    from it at the wet bulb and what the dryer's heater and air flow can carry off per tray
    area. After that the rate falls with the moisture left, slower for thick pieces and cool air.

    Args:
        food: its constants.
        size: the piece.
        dryer: the air.
        model: the model's own constants.
        load_kg_m2: fresh food per tray area, when known [kg/m2]; more than one layer piles up.

    Raises:
        ValueError: the load is not above 0, or the air is too damp for the end point.
    """
    load = _load(size, dryer, load_kg_m2)
    if load <= 0:
        raise ValueError("the load on the trays must be above 0")
    air = dryer.air
    solids = 1 - food.water_likely
    speed = dryer.air_speed or model.air_speed
    stated = dryer.air_speed or (model.air_speed if dryer.kind == "laboratory" else 0.0)
    quicker = min(stated or model.home_speed, model.full_speed) / model.home_speed
    thinner = (air.pressure / 101325) ** 0.8
    heat = model.heat_transfer * (speed / model.air_speed) ** 0.75 * thinner
    wet = surface_flux(air, heat) * _FACES
    if dryer.kind != "laboratory":
        wet = min(wet, model.supply_kg_m2_h)
    balance = _balance(food, air, dryer.temp_c)
    piled = max(1.0, load / size.layer_kg_m2)
    rate = (
        food.rate_per_h
        * (REFERENCE_MM / size.slab_mm) ** model.exponent
        * arrhenius(food.activation_kj_mol, REFERENCE_C, dryer.temp_c)
        * quicker**model.speed_exponent
        / sqrt(piled)
    )
    constant = wet / (load * solids)
    start = dry_basis(food.water_likely)
    critical = balance + constant / rate
    if critical > start:
        critical, constant = start, rate * (start - balance)
    return Stages(
        start, critical, balance, dry_basis(food.end_likely), rate, constant,
        model.oven_factor if dryer.kind == "oven" else 1.0,
    )  # fmt: skip


def _load(size: Piece, dryer: Dryer, load_kg_m2: float | None) -> float:
    if load_kg_m2 is not None:
        return load_kg_m2
    return size.layer_kg_m2 if dryer.kind == "laboratory" else size.load_kg_m2


def _balance(food: FoodConstants, air: Air, temp_c: float) -> float:
    if food.isotherm is None:
        return 0.0
    return equilibrium_moisture(food.isotherm, min(air.dryer_rh, 0.94), temp_c)


def drying_time(
    food: FoodConstants,
    size: Piece,
    dryer: Dryer,
    model: DryerModel,
    load_kg_m2: float | None = None,
) -> Range:
    """Hours until the load is likely to be dry.

    Args:
        food: its constants.
        size: the piece.
        dryer: the air.
        model: the model's own constants.
        load_kg_m2: fresh food per tray area, when known [kg/m2].

    Returns:
        Hours; ``high`` is at most twice ``likely``. Go by the dryness test and the end weight.

    Raises:
        ValueError: a figure is outside the model, or the air is too damp for the end point.
    """
    likely = stages(food, size, dryer, model, load_kg_m2).hours
    load = _load(size, dryer, load_kg_m2)

    def effect(changed: Stages) -> float:
        return log(changed.hours / likely)

    slower = replace(food, rate_per_h=food.rate_per_h / food.rate_spread)
    scarcer = replace(model, supply_kg_m2_h=model.supply_kg_m2_h / model.supply_spread)
    effects = {
        f"how fast {food.food} gives up its water": effect(
            stages(slower, size, dryer, model, load_kg_m2)
        ),
        "heater and air flow of the dryer": effect(stages(food, size, dryer, scarcer, load_kg_m2)),
        "how closely the trays are loaded": effect(stages(food, size, dryer, model, 1.25 * load)),
        "how dry it is taken": _end_effect(food, size, dryer, model, load_kg_m2),
    }
    width = sqrt(sum(value**2 for value in effects.values()))
    factor = min(_WIDEST, max(_NARROWEST, exp(width)))
    return Range(
        likely / factor,
        likely,
        likely * factor,
        assumes=_assumptions(food, size, dryer, load),
        driver=max(effects, key=lambda name: effects[name]),
        sources=tuple(dict.fromkeys((*food.sources, *model.sources))),
    )


def _end_effect(
    food: FoodConstants, size: Piece, dryer: Dryer, model: DryerModel, load: float | None
) -> float:
    """Half the log span between the wetter and the drier end point, as far as the air allows."""
    middle = stages(food, size, dryer, model, load)
    driest = max(dry_basis(food.end_low), middle.balance + 0.3 * (middle.end - middle.balance))
    long = replace(middle, end=driest).hours
    short = replace(middle, end=min(dry_basis(food.end_high), 0.9 * middle.start)).hours
    return 0.5 * log(long / short)


def _assumptions(food: FoodConstants, size: Piece, dryer: Dryer, load: float) -> tuple[str, ...]:
    return (
        *size.assumes,
        f"air at {dryer.temp_c:.0f} °C, kitchen at {dryer.room_c:.0f} °C "
        f"and {100 * dryer.room_rh:.0f} % humidity",
        f"{load:.1f} kg of food per m² of tray",
        f"dried to {100 * food.end_likely:.0f} % water",
        *(() if food.known else (f"{food.food} goes by its class, {food.food_class}",)),
    )


def look_schedule(hours: Range) -> tuple[float, ...]:
    """When to look at the load, from the start [h].

    First to turn and rotate at a quarter of the likely time (two hours at most four), then at
    the low end, and from there at steps that close in on the high end.

    Args:
        hours: from ``drying_time`` [h].

    >>> look_schedule(Range(6, 8, 12))
    (2.0, 4.0, 6.0, 7.0, 8.0, 10.0, 12.0)
    """
    low, likely, high = hours.low, hours.likely, hours.high
    step = min(4.0, max(0.25, likely / 4))
    times = [step * count for count in range(1, 50) if step * count < low - 0.5 * step]
    times += [low, (low + likely) / 2, likely, (likely + high) / 2, high]
    grid = 0.25 if likely < 4 else 0.5
    return tuple(dict.fromkeys(max(grid, round(time / grid) * grid) for time in times))
