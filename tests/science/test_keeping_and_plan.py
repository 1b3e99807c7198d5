"""Keeping time against its published anchors, and plans of dryer runs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stillroom.science.keeping import DAYS_PER_MONTH, keeping_days
from stillroom.science.plan import Lot, plan_runs

FRUIT = {15.6: (12.0, 12.0), 26.7: (6.0, 6.0)}


# uga-sep-guide18: most dried fruit keeps 12 months at 60 F and 6 months at 80 F.
@pytest.mark.parametrize(("celsius", "months"), [(15.6, 12), (26.7, 6)])
def test_keeping_days_reproduces_the_anchors(celsius: float, months: float) -> None:
    assert keeping_days(FRUIT, celsius).likely == pytest.approx(months * DAYS_PER_MONTH)


def test_keeping_days_between_the_anchors_lies_between_them() -> None:
    assert 6 < keeping_days(FRUIT, 21.1).likely / DAYS_PER_MONTH < 12


def test_keeping_days_one_anchor_predicts_the_other_within_a_tenth() -> None:
    """Q10 1.87 from the two anchors of uga-dry-storage."""
    found = keeping_days({15.6: (12.0, 12.0)}, 26.7)
    assert found.likely == pytest.approx(6 * DAYS_PER_MONTH, rel=0.1)


def test_keeping_days_colder_is_longer() -> None:
    days = [keeping_days(FRUIT, celsius).likely for celsius in (30, 25, 20, 15, 10, 5)]
    assert days == sorted(days)


def test_keeping_days_refuses_what_is_not_published() -> None:
    with pytest.raises(ValueError, match="published"):
        keeping_days({}, 20)
    with pytest.raises(ValueError, match="45"):
        keeping_days(FRUIT, 50)


PLUM = Lot("plum", 0.5, 24, 60, 4)
PEPPER = Lot("pepper", 0.4, 10, 60, 6)
ONION = Lot("onion", 0.3, 10, 60, 20, strong=True)
BEEF = Lot("beef", 0.3, 6, 60, 2, meat=True)


def test_plan_puts_what_spoils_first_on_first() -> None:
    runs = plan_runs([PEPPER, PLUM, BEEF], 0.5).runs
    assert [run.parts[0][0] for run in runs] == ["beef", "plum", "pepper"]


def test_plan_keeps_strong_smells_and_meat_apart() -> None:
    for run in plan_runs([PEPPER, ONION, BEEF], 2.0).runs:
        names = {name for name, _ in run.parts}
        assert not ({"onion", "beef"} & names and len(names) > 1)


def test_plan_says_what_spoils_before_its_turn() -> None:
    plan = plan_runs([Lot("plum", 5.0, 30, 60, 2)], 0.5)
    assert plan.left_over
    assert plan.left_over[0][0] == "plum"


@given(
    st.lists(
        st.builds(
            Lot, st.sampled_from("abcdefgh"), st.floats(0.05, 4), st.floats(2, 40),
            st.floats(35, 68), st.floats(1, 20), st.booleans(), st.booleans(),
        ),
        max_size=6,
    ),
    st.floats(0.2, 2),
)  # fmt: skip
def test_plan_conserves_area_and_never_overfills(lots: list[Lot], dryer: float) -> None:
    plan = plan_runs(lots, dryer)
    placed = sum(area for run in plan.runs for _, area in run.parts)
    left = sum(area for _, area in plan.left_over)
    assert placed + left == pytest.approx(sum(lot.area_m2 for lot in lots), abs=0.01)
    assert all(run.area_m2 <= dryer + 1e-6 for run in plan.runs)
    assert all(b.start_h >= a.end_h for a, b in zip(plan.runs, plan.runs[1:], strict=False))
