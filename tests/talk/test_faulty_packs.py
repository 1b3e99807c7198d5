"""A pack with a fault is named on standard error; everything else goes on answering."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

PACK = """\
pack: windfall
version: 1.0.0
standing: made up for a test
sources: {habit: Ours.}
rules:
  - id: windfall.wrong
    when: [{as: lot, kind: lot, food: plum, cut: halfed}]
    advise: {topic: plan}
    say: Never said.
    why: A reason.
    sources: [habit]
    examples: {fires: ["2 kg plums, halved"], silent: ["1 kg beets"]}
  - id: windfall.right
    when: [{as: lot, kind: lot, food: plum, cut: halved}]
    advise: {topic: plan}
    say: Dry {lot.food} on the day of picking up.
    why: A reason.
    sources: [habit]
    examples: {fires: ["2 kg plums, halved"], silent: ["1 kg beets"]}
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "windfall.yaml").write_text(PACK, encoding="utf-8")
    return tmp_path


def call(home: Path, *words: str, said: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "stillroom", *words], input=said, text=True, check=False,
        capture_output=True,
        env={**os.environ, "STILLROOM_HOME": str(home), "STILLROOM_ENGINE": "plain"},
    )  # fmt: skip


FAULT = "windfall.yaml:7:50: 'cut' is never 'halfed'. Did you mean 'halved'?"


def test_tell_answers_with_the_rest_and_ends_with_three(home: Path) -> None:
    ran = call(home, "tell", "2 kg plums, halved")
    assert ran.returncode == 3
    assert FAULT in ran.stderr
    assert "on the day of picking up" in ran.stdout
    assert "Never said" not in ran.stdout


def test_a_stop_is_still_a_stop(home: Path) -> None:
    assert call(home, "tell", "there is mould on the plums in the jar").returncode == 1


def test_json_names_the_fault(home: Path) -> None:
    ran = call(home, "tell", "--json", "2 kg plums, halved")
    assert [FAULT in problem for problem in json.loads(ran.stdout)["problems"]] == [True]


def test_the_conversation_names_it_once(home: Path) -> None:
    ran = call(home, said="2 kg plums, halved\nthanks\n")
    assert ran.returncode == 3
    assert ran.stderr.count(FAULT) == 1
    assert "You're welcome" in ran.stdout


def test_check_without_a_path_checks_the_packs_of_the_home(home: Path) -> None:
    ran = call(home, "rules", "check")
    assert ran.returncode == 3
    assert FAULT in ran.stdout
