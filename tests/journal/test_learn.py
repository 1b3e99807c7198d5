"""Learning from own batches: worked sums, and what must hold whatever the batches say."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stillroom.journal.learn import K_OWN, WIDEST, factor, learn, ratio_of, real_figure
from stillroom.journal.records import Batch, new_batch

ratios = st.floats(0.2, 5.0)
some = st.lists(ratios, max_size=8)


def batch(name: str, real: float, guess: float, food: str = "tomato", **more: Any) -> Batch:
    made = new_batch(name, food, f"2026-08-{10 + int(name[-1]):02d}T08:00:00")
    made.update({"stage": "stored", "dry_g": real, "predicted": {"dry_mass": [0, guess, 0]}})
    made.update(more)  # type: ignore[typeddict-item] # fields of a batch
    return made


def test_nothing_known_leaves_the_guess_alone() -> None:
    learned = factor([])
    assert (learned.factor, learned.weight, learned.sentence, learned.count) == (1.0, 0.0, "", 0)


def test_three_batches_by_hand() -> None:
    """(3 log 1.2 + 2 log 1) / 5, by the formula in the module's docstring."""
    assert factor([1.2] * 3).factor == pytest.approx(exp(3 * log(1.2) / (3 + K_OWN)))


def test_class_and_kitchen_by_hand() -> None:
    kitchen = 4 * log(1.5) / (4 + 8)
    alike = (2 * log(0.8) + 4 * kitchen) / (2 + 4)
    own = (log(1.1) + 2 * alike) / (1 + 2)
    assert factor([1.1], [0.8] * 2, [1.5] * 4).factor == pytest.approx(exp(own))


def test_sentence_tells_what_was_and_what_is_used() -> None:
    three = factor([1.2, 1.25, 1.15], name="tomato").sentence
    assert three == (
        "Your last three tomato batches came to 1.2 times my first guess; I now reckon with "
        "1.1 times."
    )
    many = factor([1.2] * 9, name="plum", verb="took").sentence
    assert many == "Your last nine plum batches took 1.2 times my first guess; I use that now."
    assert factor([1.6], name="beet").sentence.startswith("Your last beet batch came to 1.6 times")


@given(some, some, some)
def test_factor_lies_between_one_and_the_widest_ratio(
    own: list[float], class_: list[float], dryer: list[float]
) -> None:
    value = factor(own, class_, dryer).factor
    every = [1.0, *own, *class_, *dryer]
    assert min(every) - 1e-9 <= value <= max(every) + 1e-9
    assert 1 / WIDEST - 1e-9 <= value <= WIDEST + 1e-9


@given(st.floats(0.5, 2.0), some, some)
def test_many_alike_batches_end_near_their_ratio(
    ratio: float, class_: list[float], dryer: list[float]
) -> None:
    few, many = (factor([ratio] * n, class_, dryer).factor for n in (2, 12))
    assert abs(log(many / ratio)) <= abs(log(few / ratio)) + 1e-9
    assert abs(log(many / ratio)) <= log(WIDEST) * 2 * K_OWN / (12 + K_OWN)
    assert factor([ratio] * 12).factor == pytest.approx(ratio, rel=0.12)


@given(st.floats(1.05, 2.5))
def test_own_batches_say_more_than_the_class_and_that_more_than_the_kitchen(ratio: float) -> None:
    own, class_, dryer = factor([ratio]), factor([], [ratio]), factor([], [], [ratio])
    assert own.factor > class_.factor > dryer.factor > 1.0


@given(some, st.sampled_from([0.0, -1.0, float("nan"), float("inf")]))
def test_what_is_no_ratio_is_passed_over(own: list[float], wrong: float) -> None:
    assert factor([*own, wrong]) == factor(own)


def test_one_slip_of_the_scale_does_not_rule() -> None:
    assert factor([1.0, 1.0, 40.0]).factor < 1.3


def test_ratio_is_real_over_first_guess() -> None:
    assert ratio_of(batch("tomato-1", 360, 300), "dry_mass") == pytest.approx(1.2)


@pytest.mark.parametrize(
    "more",
    [{"excluded": True}, {"redried": 1}, {"stage": "drying"}, {"stage": "discarded"},
     {"dry_g": None}, {"parents": ["tomato-9"]}, {"fresh_lost_g": 100.0}, {"predicted": {}},
     {"predicted": {"dry_mass": [0, 0, 0]}}, {"predicted": {"dry_mass": []}}],
    ids=str,
)  # fmt: skip
def test_batches_that_are_no_fair_test_are_left_out(more: dict[str, Any]) -> None:
    assert ratio_of(batch("tomato-1", 360, 300, **more), "dry_mass") is None


def test_drying_time_runs_from_loading_to_dry() -> None:
    dried = batch("plum-1", 1, 1, loaded="2026-08-11T20:00:00", dried_at="2026-08-12T08:30:00")
    assert real_figure(dried, "drying_time") == pytest.approx(12.5)
    backwards = batch("plum-1", 1, 1, loaded="2026-08-12T08:00:00", dried_at="2026-08-11T08:00:00")
    assert real_figure(backwards, "drying_time") is None, "the clock was put back"


def ratios_of(batches: list[Any]) -> Callable[[set[str], bool], list[float]]:
    """The ratios of batches as the store gives them."""

    def ratios(foods: set[str], others: bool) -> list[float]:
        return [ratio for item in batches if (item["food"] in foods) != others
                and (ratio := ratio_of(item, "dry_mass")) is not None]  # fmt: skip

    return ratios


def test_learn_sorts_batches_into_own_class_and_kitchen() -> None:
    batches = [
        batch("tomato-1", 360, 300), batch("zucchini-1", 90, 100, "zucchini"),
        batch("plum-1", 260, 200, "plum"),
    ]  # fmt: skip
    classes = {"tomato": "fruiting", "zucchini": "fruiting", "plum": "stone"}
    ratios = ratios_of(batches)
    assert learn(ratios, "tomato", classes) == factor([1.2], [0.9], [1.3], name="tomato")
    assert learn(ratios, "chive", classes).count == 0


def test_forget_that_batch_takes_it_out() -> None:
    batches = [batch("tomato-1", 300, 300), batch("tomato-2", 900, 300)]
    assert learn(ratios_of(batches), "tomato", {}).factor > 1.2
    batches[1]["excluded"] = True
    assert learn(ratios_of(batches), "tomato", {}).factor == pytest.approx(1.0)
