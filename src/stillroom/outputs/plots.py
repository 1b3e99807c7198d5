"""The drying curve of one batch: weigh-ins, the expected course with its band, the end weight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from pathlib import Path
from typing import Any

from stillroom.base.problem import Problem, ProblemError
from stillroom.outputs.sheets import cannot_write

KINDS = (".png", ".svg")
OZ_G = 28.349523125
_ACROSS = "hours since loading [h]"
_UP = "mass without tray"
_PER_UNIT = {"g": 1.0, "kg": 1000.0, "oz": OZ_G, "lb": 16 * OZ_G}


@dataclass(frozen=True)
class DryingCurve:
    """What a drying curve shows; masses in g without tray, times in h since loading.

    Args:
        title: batch and food.
        hours: times of the expected course, rising from 0.
        low: mass at these times if it dries fast.
        likely: mass at these times.
        high: mass at these times if it dries slowly.
        weighings: (hours, mass) as the scale read.
        end: low, likely and high mass at which it is done.
        unit: g, kg, oz or lb, to show masses in.
        note: what the band means, one line.
    """

    title: str
    hours: tuple[float, ...]
    low: tuple[float, ...]
    likely: tuple[float, ...]
    high: tuple[float, ...]
    weighings: tuple[tuple[float, float], ...] = ()
    end: tuple[float, float, float] | None = None
    unit: str = "g"
    note: str = ""

    def __post_init__(self) -> None:
        if self.unit not in _PER_UNIT:
            raise ValueError(f"no such unit for a mass: {self.unit!r}")
        if not len(self.hours) == len(self.low) == len(self.likely) == len(self.high):
            raise ValueError("the band and the times must be as long as each other")

    def shown(self, masses: Sequence[float]) -> list[float]:
        """Masses [g] in the unit that is shown.

        >>> DryingCurve("plum-1", (), (), (), (), unit="kg").shown([1500.0])
        [1.5]
        """
        return [mass / _PER_UNIT[self.unit] for mass in masses]


def write_curve(path: Path, curve: DryingCurve) -> None:
    """Draw a drying curve to a PNG or SVG file, by the file's ending.

    Raises:
        ProblemError: another ending, no drawing library, or the file cannot be written.
    """
    if path.suffix.lower() not in KINDS:
        raise ProblemError(
            Problem(str(path), name="no-such-picture", text="A curve is drawn as PNG, SVG or text.",
                    remedy="Let the name end in .png, .svg or .txt.")
        )  # fmt: skip
    kind = path.suffix[1:].lower()
    figure = _figure(curve)
    from matplotlib import rc_context

    # letters stay letters, and there is no date: the same batch gives the same file
    with rc_context({"svg.fonttype": "none", "svg.hashsalt": "stillroom"}):
        try:
            figure.savefig(path, format=kind, dpi=130,
                           metadata={"Date": None} if kind == "svg" else None)  # fmt: skip
        except OSError as error:
            raise cannot_write(path, error) from error


def _figure(curve: DryingCurve) -> Any:
    try:
        from matplotlib.figure import Figure
    except ImportError as error:
        raise ProblemError(
            Problem(name="no-pictures", text="Pictures need matplotlib, which is not installed.",
                    remedy="Run: python -m pip install 'stillroom[pictures]'.")
        ) from error  # fmt: skip
    figure = Figure(figsize=(8, 5), layout="constrained")
    axes = figure.add_subplot()
    _expected(axes, curve)
    _measured(axes, curve)
    axes.set_title(curve.title)
    axes.set_xlabel(_ACROSS)
    axes.set_ylabel(f"{_UP} [{curve.unit}]")
    axes.set_ylim(bottom=0)
    axes.set_xlim(left=0)
    axes.grid(visible=True, alpha=0.3)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(loc="upper right")
    if curve.note:
        figure.supxlabel(curve.note, fontsize="small", color="0.35")
    return figure


def _expected(axes: Any, curve: DryingCurve) -> None:
    if curve.hours:
        axes.fill_between(
            curve.hours, curve.shown(curve.low), curve.shown(curve.high),
            color="#7f9bb5", alpha=0.3, linewidth=0, label="expected, low to high",
        )  # fmt: skip
        axes.plot(curve.hours, curve.shown(curve.likely), color="#2f5d86", label="likely course")
    if curve.end is not None:
        low, likely, high = curve.shown(curve.end)
        axes.axhspan(low, high, color="#c58b3a", alpha=0.15, linewidth=0)
        axes.axhline(likely, color="#a06a1c", linestyle="--", label="end weight, low to high")


def _measured(axes: Any, curve: DryingCurve) -> None:
    if curve.weighings:
        hours, masses = zip(*curve.weighings, strict=True)
        axes.plot(hours, curve.shown(masses), "o", color="#a02c2c", label="weighed")


def curve_text(curve: DryingCurve, width: int = 72, height: int = 20) -> str:
    """The same curve in plain letters for a terminal, without colour.

    ``*`` is the likely course, ``.`` its band, ``-`` the end weight, ``O`` what was weighed.

    Args:
        curve: what to draw.
        width: columns.
        height: lines.
    """
    import plotext

    times = list(curve.hours)
    last = max([*times, *(hours for hours, _ in curve.weighings), 1.0])
    series = [(".", times, curve.shown(curve.low)), (".", times, curve.shown(curve.high)),
              ("*", times, curve.shown(curve.likely))]  # fmt: skip
    if curve.end is not None:
        level = curve.shown([curve.end[1]])[0]
        series.append(("-", [last * step / width for step in range(width + 1)],
                       [level] * (width + 1)))  # fmt: skip
    weighed = curve.shown([mass for _, mass in curve.weighings])
    series.append(("O", [hours for hours, _ in curve.weighings], weighed))
    series = [item for item in series if item[1]]
    draw = _plot_now if hasattr(plotext, "figure") else _plot_before
    text = str(plotext.uncolorize(draw(plotext, curve.title, series, (width, height))))
    lines = [line.rstrip() for line in text.splitlines() if line.strip()]
    axes = f"across: {_ACROSS}; up: {_UP} [{curve.unit}]"
    key = "* likely   . band   - end weight   O weighed"
    return "\n".join([*lines, axes, key, curve.note]).rstrip()


def ticks(top: float) -> list[float]:
    """Round figures from 0 up to at least ``top``, four to seven of them.

    >>> ticks(2000.0)
    [0.0, 500.0, 1000.0, 1500.0, 2000.0]
    """
    rough = max(top, 1e-6) / 5
    power = 10.0 ** floor(log10(rough))
    step = next(power * part for part in (1.0, 2.0, 2.5, 5.0, 10.0) if power * part >= rough)
    return [round(step * count, 12) for count in range(max(1, ceil(top / step - 1e-9)) + 1)]


def _ticks(series: Series, part: int) -> tuple[list[float], list[str]]:
    """Marks and their names along an axis: part 0 is across, 1 is up."""
    marks = ticks(max((max(item[2] if part else item[1]) for item in series), default=1.0))
    return marks, [f"{mark:g}" for mark in marks]


Series = list[tuple[str, list[float], list[float]]]


def _plot_now(plotext: Any, title: str, series: Series, size: tuple[int, int]) -> str:
    """With plotext from version 6."""
    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(*size)
    for marker, across, up in series:
        figure.draw(figure.signal(across, up, marker=marker))
    figure.title(title)
    for part, axis in enumerate("xy"):
        marks, names = _ticks(series, part)
        figure.ruler(axis).ticks(marks, names)
        figure.ruler(axis).lim(marks[0], marks[-1])
    text = str(figure.build())
    figure.clear()
    return text


def _plot_before(plotext: Any, title: str, series: Series, size: tuple[int, int]) -> str:
    """With plotext before version 6."""
    plotext.clear_figure()
    plotext.theme("clear")
    plotext.plotsize(*size)
    for marker, across, up in series:
        plotext.scatter(across, up, marker=marker)
    plotext.title(title)
    across_marks, up_marks = _ticks(series, 0), _ticks(series, 1)
    plotext.xticks(*across_marks)
    plotext.yticks(*up_marks)
    plotext.xlim(across_marks[0][0], across_marks[0][-1])
    plotext.ylim(up_marks[0][0], up_marks[0][-1])
    text = str(plotext.build())
    plotext.clear_figure()
    return text
