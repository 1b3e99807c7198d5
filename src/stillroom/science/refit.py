"""Hours left, from weigh-ins: the published drying curve as prior, bent to what the scale says.

Four shapes are fitted, the two-stage curve, Page's, the diffusion slab's and a two-term curve
with a slow tail, each by least squares with its prior (damped Gauss-Newton on one to three
figures, plain Python, so that a short command does not wait for a numerical library), and
averaged by how well they explain the weights.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import erf, exp, inf, log, sqrt

from stillroom.science.drying import Stages
from stillroom.science.range import Range
from stillroom.science.shapes import Shape, Vector, page, slab, two_stage, two_term

CALIBRATION = (
    "80 % interval, calibrated on simulated curves of four kinds, one with a slow tail: after "
    "three weigh-ins to half the water it held the true time in 70 to 90 of 100 runs of each kind "
    "but the diffusion slab's, which it holds nearly always"
)
_LOW, _HIGH = 0.2, 0.94
"""Ends of the interval in the mixture of the four shapes, set by the calibration test. They lie
unevenly because drying runs over more often than it ends early."""
_TAIL_LEAST = 0.35
"""Least weight of the slow-tailed shape against the best one. Before half the water is out a slow
tail does not show in the weights, so that they must not rule it out."""

_MISFIT = 0.05
"""What the shapes leave out, as a spread of the logarithm of the hours left; set so that the
intervals hold 80 % on simulated and published curves (tests/science/test_refit.py)."""

_SCALE_SHARE = 0.006
"""Error of a kitchen weighing as a share of the start weight; judgement."""


@dataclass(frozen=True)
class WeighIn:
    """One weighing: hours since the start, and what the scale read without the tray [g]."""

    hours: float
    mass_g: float


@dataclass(frozen=True)
class Refit:
    """What weigh-ins say.

    Args:
        remaining: hours from the last weigh-in to the end weight; ``low`` and ``high`` bound 80 %.
        moisture: water left at the last weigh-in, wet basis [1].
        curve: moisture [kg/kg dry] by hours since the start, for plots.
        statement: how the interval was calibrated.
    """

    remaining: Range
    moisture: float
    curve: Callable[[float], float]
    statement: str = CALIBRATION


def _solve(matrix: list[Vector], right: Vector) -> Vector:
    """Solve a small symmetric positive system by elimination."""
    size = len(right)
    rows = [[*matrix[i], right[i]] for i in range(size)]
    for i in range(size):
        for j in range(i + 1, size):
            factor = rows[j][i] / rows[i][i]
            rows[j] = [b - factor * a for a, b in zip(rows[i], rows[j], strict=True)]
    found = [0.0] * size
    for i in reversed(range(size)):
        known = sum(rows[i][j] * found[j] for j in range(i + 1, size))
        found[i] = (rows[i][size] - known) / rows[i][i]
    return found


@dataclass(frozen=True)
class _Fit:
    shape: Shape
    figures: Vector
    normal: list[Vector]
    cost: float


Residuals = Callable[[Vector], Vector]


def _slopes(residuals: Residuals, figures: Vector, base: Vector) -> list[Vector]:
    columns = []
    for i in range(len(figures)):
        moved = [*figures]
        moved[i] += 1e-4
        columns.append([(a - b) / 1e-4 for a, b in zip(residuals(moved), base, strict=True)])
    return columns


def _fit(shape: Shape, points: Sequence[tuple[float, float]], error: float) -> _Fit:
    """Damped Gauss-Newton; points are (hours, moisture), ``error`` in moisture."""

    def residuals(figures: Vector) -> Vector:
        data = [(shape.at(figures, hours) - moisture) / error for hours, moisture in points]
        return data + [value / spread for value, spread in zip(figures, shape.spreads, strict=True)]

    figures = [0.0] * len(shape.spreads)
    base = residuals(figures)
    cost, damping = sum(value * value for value in base), 1e-3
    normal: list[Vector] = []
    for _ in range(60):
        columns = _slopes(residuals, figures, base)
        normal = [[sum(a * b for a, b in zip(p, q, strict=True)) for q in columns] for p in columns]
        pull = [-sum(a * b for a, b in zip(p, base, strict=True)) for p in columns]
        damped = [
            [value * (1 + damping * (i == j)) for j, value in enumerate(row)]
            for i, row in enumerate(normal)
        ]
        step = _solve(damped, pull)
        tried = [a + max(-0.5, min(0.5, b)) for a, b in zip(figures, step, strict=True)]
        new = residuals(tried)
        new_cost = sum(value * value for value in new)
        if new_cost < cost:
            gain, damping = cost - new_cost, damping / 4
            figures, base, cost = tried, new, new_cost
            if gain < 1e-7 * (1 + cost):
                break
        else:
            damping *= 6
            if damping > 1e8:
                break
    return _Fit(shape, figures, normal, cost)


def _left(fit: _Fit, end: float, now: float) -> tuple[float, float]:
    """Logarithm of the hours left and its variance from the fit."""

    def value(figures: Vector) -> float:
        return log(max(fit.shape.until(figures, end) - now, 0.02 * now + 0.02))

    middle = value(fit.figures)
    slope = []
    for i in range(len(fit.figures)):
        moved = [*fit.figures]
        moved[i] += 1e-3
        slope.append((value(moved) - middle) / 1e-3)
    spread = _solve(fit.normal, slope)
    return middle, sum(a * b for a, b in zip(slope, spread, strict=True))


def _quantile(parts: Sequence[tuple[float, float, float]], share: float) -> float:
    """Where a share of a mixture of bell curves (weight, middle, spread) lies below."""
    low = min(middle - 6 * spread for _, middle, spread in parts)
    high = max(middle + 6 * spread for _, middle, spread in parts)
    for _ in range(50):
        at = (low + high) / 2
        below = sum(w * 0.5 * (1 + erf((at - m) / (s * sqrt(2)))) for w, m, s in parts)
        low, high = (at, high) if below < share else (low, at)
    return (low + high) / 2


def _check(start_g: float, weigh_ins: Sequence[WeighIn], solids_g: float) -> None:
    if not weigh_ins:
        raise ValueError("there is no weigh-in yet")
    hours, mass = 0.0, start_g * 1.005
    for item in weigh_ins:
        if item.hours <= hours:
            raise ValueError("weigh-ins must come in order, each later than the last")
        if item.mass_g > mass:
            raise ValueError(
                f"{item.mass_g:g} g after {item.hours:g} h is more than before "
                f"({mass / 1.005:g} g): drying food only gets lighter"
            )
        if item.mass_g < 0.97 * solids_g:
            raise ValueError(
                f"{item.mass_g:g} g is less than the dry matter, about {solids_g:.0f} g: "
                "was some taken off, or is the empty weight wrong?"
            )
        hours, mass = item.hours, item.mass_g * 1.005


def remaining_time(prior: Stages, start_g: float, weigh_ins: Sequence[WeighIn]) -> Refit:
    """Hours left to the end weight, from weigh-ins and the published curve.

    Args:
        prior: the curve expected before any weighing (``drying.stages``).
        start_g: prepared weight at the start, without the tray [g].
        weigh_ins: in order of time, without the tray.

    Returns:
        The hours left from the last weigh-in with an 80 % interval (0 when the end weight is
        reached). It speaks of the end weight; the dryness test has the last word.

    Raises:
        ValueError: no weigh-in, weights that rise or fall below the dry matter, times out of
            order, or a start weight that is not above 0.
    """
    if start_g <= 0:
        raise ValueError("the start weight must be above 0")
    solids = start_g / (1 + prior.start)
    _check(start_g, weigh_ins, solids)
    points = [(item.hours, max(0.0, item.mass_g / solids - 1)) for item in weigh_ins]
    now, moisture = points[-1]
    error = _SCALE_SHARE * (1 + prior.start)
    shapes = (two_stage(prior), page(prior), slab(prior), two_term(prior))
    fits = [_fit(shape, points, error) for shape in shapes]
    best = min(fit.cost for fit in fits)
    weights = [exp(-(fit.cost - best) / 2) for fit in fits]
    wet = moisture / (1 + moisture)

    def curve(hours: float) -> float:
        values = [fit.shape.at(fit.figures, hours) for fit in fits]
        return sum(a * b for a, b in zip(weights, values, strict=True)) / sum(weights)

    if moisture <= prior.end:
        return Refit(Range(0.0, 0.0, 0.0, assumes=("the end weight is reached",)), wet, curve)
    left = [_left(fit, prior.end, now) for fit in fits]
    total = sum(weights)
    middle = sum(w * value for w, (value, _) in zip(weights, left, strict=True)) / total
    allowed = [
        max(weight, _TAIL_LEAST if fit.shape.tailed else 0.0)
        for weight, fit in zip(weights, fits, strict=True)
    ]
    parts = [
        (weight / sum(allowed), value, sqrt(min(var, 4.0) + _MISFIT**2))
        for weight, (value, var) in zip(allowed, left, strict=True)
    ]
    likely, low, high = exp(middle), exp(_quantile(parts, _LOW)), exp(_quantile(parts, _HIGH))
    if not 0 < likely < inf:
        raise ValueError("these weigh-ins do not fit any drying curve")
    return Refit(
        Range(
            min(low, likely), likely, max(high, likely),
            assumes=(f"{len(points)} weigh-ins", "the same heat and load from here on"),
            driver="how the last part dries",
        ),
        wet,
        curve,
    )  # fmt: skip
