"""Drying curves: what stands in the picture, and the same in plain letters."""

from __future__ import annotations

import builtins
from dataclasses import replace
from math import exp
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from stillroom.base.problem import ProblemError
from stillroom.outputs.plots import DryingCurve, curve_text, ticks, write_curve

HOURS = tuple(0.25 * step for step in range(81))


def course(slow: float) -> tuple[float, ...]:
    return tuple(200 + 1800 * exp(-hour / slow) for hour in HOURS)


CURVE = DryingCurve(
    "plum-1: plums, halved", HOURS, course(4), course(6), course(9),
    ((0.0, 2000.0), (4.0, 1150.0), (8.0, 700.0)), (180.0, 230.0, 300.0),
    note="eight batches in ten dry inside the band",
)  # fmt: skip
BARE = DryingCurve("plum-1", (), (), (), (), ((0.0, 2000.0), (4.0, 1150.0)))


def svg_words(path: Path) -> str:
    root = ElementTree.fromstring(path.read_bytes())
    return "\n".join(item.text or "" for item in root.iter("{http://www.w3.org/2000/svg}text"))


def test_svg_names_axes_with_units_and_each_part(tmp_path: Path) -> None:
    write_curve(tmp_path / "c.svg", CURVE)
    text = svg_words(tmp_path / "c.svg")
    for part in ("plum-1: plums, halved", "hours since loading [h]", "mass without tray [g]",
                 "weighed", "end weight", "likely course", "expected, low to high",
                 "eight batches in ten"):  # fmt: skip
        assert part in text


def test_png_is_a_png(tmp_path: Path) -> None:
    write_curve(tmp_path / "c.PNG", CURVE)
    assert (tmp_path / "c.PNG").read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


def test_the_same_curve_gives_the_same_file(tmp_path: Path) -> None:
    write_curve(tmp_path / "a.svg", CURVE)
    write_curve(tmp_path / "b.svg", CURVE)
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_picture_shows_what_was_weighed_where_it_was() -> None:
    from stillroom.outputs.plots import _figure

    axes = _figure(CURVE).axes[0]
    (weighed,) = [line for line in axes.lines if line.get_label() == "weighed"]
    assert list(zip(*weighed.get_data(), strict=True)) == list(CURVE.weighings)
    assert axes.get_ylim()[0] == 0


@pytest.mark.parametrize("curve", [BARE, replace(BARE, weighings=()), replace(CURVE, weighings=())])
def test_what_is_not_known_is_left_out(curve: DryingCurve, tmp_path: Path) -> None:
    write_curve(tmp_path / "c.svg", curve)
    text = svg_words(tmp_path / "c.svg")
    assert ("weighed" in text) is bool(curve.weighings)
    assert ("end weight" in text) is (curve.end is not None)
    assert curve_text(curve)


def test_masses_are_shown_in_the_cooks_unit(tmp_path: Path) -> None:
    ounces = replace(CURVE, unit="oz")
    write_curve(tmp_path / "c.svg", ounces)
    assert "mass without tray [oz]" in svg_words(tmp_path / "c.svg")
    assert ounces.shown([283.49523125]) == pytest.approx([10.0])


def test_another_ending_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match=r"\.png, \.svg or \.txt"):
        write_curve(tmp_path / "c.jpg", CURVE)


def test_a_place_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="Cannot be written"):
        write_curve(tmp_path / "no" / "c.svg", CURVE)


def test_without_matplotlib_the_way_to_get_it_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: Any, **more: Any) -> Any:
        if name.startswith("matplotlib"):
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(ProblemError, match=r"stillroom\[pictures\]"):
        write_curve(tmp_path / "c.svg", CURVE)


@pytest.mark.parametrize(
    "wrong", [{"unit": "stone"}, {"low": (1.0,)}, {"hours": HOURS[1:]}], ids=str
)
def test_curves_that_make_no_sense_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"unit|band"):
        replace(CURVE, **wrong)


def test_text_has_no_colour_and_fits_the_screen() -> None:
    text = curve_text(CURVE, 60, 16)
    lines = text.splitlines()
    assert "\x1b" not in text
    assert max(map(len, lines)) <= 60
    assert len(lines) == 16 + 3, "the plot, its axes, its key, its note"
    for part in ("hours since loading [h]", "mass without tray [g]", "O weighed", "plum-1"):
        assert part in text
    plotted = "\n".join(line for line in lines if "│" in line or "┤" in line)
    assert plotted.count("O") == len(CURVE.weighings)
    assert "*" in plotted
    assert "--------" in plotted


def test_text_starts_high_on_the_left_and_ends_low_on_the_right() -> None:
    rows = [line for line in curve_text(CURVE).splitlines() if "│" in line]
    stars = [(row.index("*"), row.rindex("*")) for row in rows if "*" in row]
    assert stars[0][0] < stars[-1][0]
    assert [first for first, _ in stars] == sorted(first for first, _ in stars)


@pytest.mark.parametrize("top", [0.0, 1e-9, 0.3, 1.0, 7.0, 99.0, 2000.0, 123456.0])
def test_ticks_are_few_and_reach_the_top(top: float) -> None:
    marks = ticks(top)
    assert marks[0] == 0
    assert marks[-1] >= top
    assert 2 <= len(marks) <= 7
