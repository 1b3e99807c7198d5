"""Shapes that a drying curve can take around a published one: what weigh-ins are fitted with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import exp, log, pi, sqrt

from stillroom.science.drying import Stages

Vector = list[float]


@dataclass(frozen=True)
class Shape:
    """A family of curves around a published one.

    Args:
        spreads: how far each figure may stray from the prior, as a logarithm [1]; judgement.
        at: moisture [kg/kg dry] at an hour since the start, for given figures.
        until: hours [h] to a moisture [kg/kg dry], for given figures.
        tailed: whether its tail is slower than that of the others.
    """

    spreads: tuple[float, ...]
    at: Callable[[Vector, float], float]
    until: Callable[[Vector, float], float]
    tailed: bool = False


def two_stage(prior: Stages) -> Shape:
    """Figures: common pace, falling rate, constant rate; logarithms of factors."""

    def bent(figures: Vector) -> Stages:
        rate = prior.rate * exp(figures[0] + figures[1])
        constant = prior.constant_rate * exp(figures[0] + figures[2])
        critical = prior.balance + constant / rate
        if critical > prior.start:
            critical, constant = prior.start, rate * (prior.start - prior.balance)
        return replace(prior, rate=rate, constant_rate=constant, critical=critical)

    return Shape(
        (0.25, 0.40, 0.35),
        lambda figures, hours: bent(figures).moisture(hours),
        lambda figures, end: replace(bent(figures), end=end).hours,
    )


def page(prior: Stages) -> Shape:
    """Figures: pace (logarithm) and Page's exponent as a difference from the prior's shape."""
    span = prior.start - prior.balance
    depth = -log((prior.end - prior.balance) / span)
    half = replace(prior, end=prior.balance + span / 2).hours
    usual = log(log(2) / depth) / log(half / prior.hours) if half < prior.hours else 1.0

    def exponent(figures: Vector) -> float:
        return min(2.5, max(0.4, usual + figures[1]))

    def at(figures: Vector, hours: float) -> float:
        whole = prior.hours * exp(figures[0])
        part = depth * (max(hours, 0.0) / whole) ** exponent(figures)
        return float(prior.balance + span * exp(-part))

    def until(figures: Vector, end: float) -> float:
        part = -log((end - prior.balance) / span)
        pace = prior.hours * exp(figures[0])
        return float(pace * (max(part, 0.0) / depth) ** (1 / exponent(figures)))

    return Shape((0.45, 0.25), at, until)


_TERMS = range(1, 40, 2)


def _slab_ratio(fourier: float) -> float:
    """Moisture ratio of a slab, ``8/pi2 sum exp(-n2 pi2 F) / n2`` over odd n."""
    if fourier < 0.002:
        return 1 - 4 * sqrt(max(fourier, 0.0) / pi)
    return 8 / pi**2 * sum(exp(-min(n * n * pi**2 * fourier, 700.0)) / n**2 for n in _TERMS)


def slab(prior: Stages) -> Shape:
    """Figure: pace, logarithm of a factor on the prior's time."""
    span = prior.start - prior.balance
    whole = _slab_fourier((prior.end - prior.balance) / span)

    def at(figures: Vector, hours: float) -> float:
        return prior.balance + span * _slab_ratio(whole * hours / (prior.hours * exp(figures[0])))

    def until(figures: Vector, end: float) -> float:
        part = _slab_fourier((end - prior.balance) / span)
        return prior.hours * exp(figures[0]) * part / whole

    return Shape((0.6,), at, until)


_FAST, _TAIL = 0.85, 0.45
"""Share of the water that leaves at the first pace, and the tail's usual pace beside it."""


def two_term(prior: Stages) -> Shape:
    """Figures: pace of the whole, and how slow the tail is; logarithms of factors."""
    span = prior.start - prior.balance

    def ratio(part: float, figures: Vector) -> float:
        tail = min(1.0, _TAIL * exp(figures[1]))
        return _FAST * exp(-min(part, 700.0)) + (1 - _FAST) * exp(-min(tail * part, 700.0))

    def depth(moisture: float, figures: Vector) -> float:
        target = (moisture - prior.balance) / span
        low, high = 0.0, 200.0
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if ratio(middle, figures) > target else (low, middle)
        return low

    usual = depth(prior.end, [0.0, 0.0]) / prior.hours

    def at(figures: Vector, hours: float) -> float:
        return prior.balance + span * ratio(usual * hours * exp(-figures[0]), figures)

    def until(figures: Vector, end: float) -> float:
        return depth(end, figures) / usual * exp(figures[0])

    return Shape((0.5, 0.4), at, until, tailed=True)


def _slab_fourier(ratio: float) -> float:
    """Fourier number at a moisture ratio, by halving."""
    low, high = 0.0, 3.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _slab_ratio(middle) > ratio else (low, middle)
    return low
