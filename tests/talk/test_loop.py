"""The conversation's loop: leaving off in the middle, and which answer is to which note."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from stillroom.talk.loop import _answer
from stillroom.talk.screen import plain_text
from stillroom.talk.session import Session


class Interrupted(Session):
    def lines(self, text: str, progress: object = None) -> list[list[object]]:  # type: ignore[override]
        raise KeyboardInterrupt


def test_ctrl_c_in_the_middle_of_an_answer_goes_back_to_the_prompt(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    assert _answer(Interrupted(tmp_path), "2 kg plums", colour=False) == 0
    assert "Left off." in capsys.readouterr().out


def test_ctrl_c_ends_a_pipe(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.stdin, "isatty", lambda: False, raising=False)
    with pytest.raises(KeyboardInterrupt):
        _answer(Interrupted(tmp_path), "2 kg plums", colour=False)


def test_each_answer_to_a_paste_names_its_note(tmp_path: Path) -> None:
    session = Session(tmp_path)
    text = "2 kg plums, halved, pitted\n\nhow long do tomatoes keep once they are dry?"
    first, second = (plain_text(lines, 60).splitlines() for lines in session.lines(text))
    assert first[:1] == ["> 2 kg plums, halved, pitted"]
    assert second[:1] == ["> how long do tomatoes keep once they are dry?"]
    assert first[1]
    assert second[1]


def test_a_single_note_is_not_said_back(tmp_path: Path) -> None:
    (lines,) = Session(tmp_path).lines("2 kg plums, halved, pitted")
    assert not plain_text(lines, 60).startswith(">")
