"""An estimate: low, likely, high, what it assumes, what drives its width, where it is from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import exp, isfinite, log, sqrt


@dataclass(frozen=True)
class Range:
    """A figure with its range; ``low <= likely <= high``.

    Args:
        low: about one case in ten lies below.
        likely: the middle.
        high: about one case in ten lies above.
        assumes: what was taken for granted, one phrase each.
        driver: the input that makes the range as wide as it is.
        sources: ids of knowledge/sources.csv.

    Raises:
        ValueError: a figure is not finite, or they are out of order.
    """

    low: float
    likely: float
    high: float
    assumes: tuple[str, ...] = ()
    driver: str = ""
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not all(isfinite(value) for value in (self.low, self.likely, self.high)):
            raise ValueError(f"a range needs finite figures, not {self.low}, {self.high}")
        slack = 1e-9 * max(abs(self.low), abs(self.high), 1e-12)
        if not self.low - slack <= self.likely <= self.high + slack:
            raise ValueError(f"out of order: {self.low}, {self.likely}, {self.high}")

    def scaled(self, factor: float) -> Range:
        """The same estimate times a positive number.

        >>> Range(1, 2, 3).scaled(2).high
        6
        """
        return replace(
            self, low=self.low * factor, likely=self.likely * factor, high=self.high * factor
        )

    def plus(self, amount: float) -> Range:
        """The same estimate with a known amount added (a tray's empty weight)."""
        return replace(
            self, low=self.low + amount, likely=self.likely + amount, high=self.high + amount
        )

    def noting(self, *assumes: str, sources: tuple[str, ...] = ()) -> Range:
        """A copy with more assumptions and sources, each kept once."""
        return replace(
            self,
            assumes=tuple(dict.fromkeys((*self.assumes, *assumes))),
            sources=tuple(dict.fromkeys((*self.sources, *sources))),
        )

    def holds(self, value: float) -> bool:
        """Whether a figure lies inside, ends included."""
        return self.low <= value <= self.high

    def overlaps(self, low: float, high: float) -> bool:
        """Whether another range shares a figure with this one."""
        return self.low <= high and low <= self.high


def exactly(value: float) -> Range:
    """A figure that was measured or said and is taken as it is."""
    return Range(value, value, value)


def as_range(value: float | Range) -> Range:
    """A range as it is, a number as an exact one."""
    return value if isinstance(value, Range) else exactly(value)


def around(likely: float, factor: float) -> Range:
    """A positive figure known within a factor.

    Raises:
        ValueError: the figure is not above 0, or the factor is below 1.

    >>> around(10.0, 1.5)
    Range(low=6.666, likely=10.0, high=15.0, assumes=(), driver='', sources=())
    """
    if likely <= 0 or factor < 1:
        raise ValueError("needs a positive figure and a factor of at least 1")
    return Range(likely / factor, likely, likely * factor)


def combine(function: Callable[..., float], **inputs: float | Range) -> Range:
    """Carry ranges through a function, one input at a time, and add the effects as squares.

    The inputs count as independent, so that three of them at their worst together are not taken
    for likely. Positive results are combined as ratios, others as differences.

    Args:
        function: takes the inputs by name and returns one figure.
        inputs: numbers or ranges; their assumptions and sources are carried along.

    Returns:
        The range; ``driver`` names the input with the largest effect.

    >>> combine(lambda mass, share: mass * share, mass=100.0, share=Range(0.1, 0.2, 0.3)).driver
    'share'
    """
    ranges = {name: as_range(value) for name, value in inputs.items()}
    middle = {name: value.likely for name, value in ranges.items()}
    likely = function(**middle)
    results = {
        name: tuple(function(**{**middle, name: end}) for end in (value.low, value.high))
        for name, value in ranges.items()
        if value.low != value.high
    }
    flat = [value for pair in results.values() for value in pair]
    ratio = likely > 0 and all(value > 0 for value in flat)

    def step(value: float) -> float:
        return log(value / likely) if ratio else value - likely

    down = sqrt(sum(min(*map(step, pair), 0.0) ** 2 for pair in results.values()))
    up = sqrt(sum(max(*map(step, pair), 0.0) ** 2 for pair in results.values()))
    low = likely * exp(-down) if ratio else likely - down
    high = likely * exp(up) if ratio else likely + up
    widths = {name: abs(step(pair[0]) - step(pair[1])) for name, pair in results.items()}
    driver = max(widths, key=lambda name: widths[name]) if widths else ""
    return _carry(Range(low, likely, high, driver=driver.replace("_", " ")), ranges)


def _carry(result: Range, inputs: Mapping[str, Range]) -> Range:
    for value in inputs.values():
        result = result.noting(*value.assumes, sources=value.sources)
    return result
