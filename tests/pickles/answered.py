"""Parts of an answer."""

from __future__ import annotations

from stillroom.base.fact import Number
from stillroom.talk.answer import Answer


def figure(answer: Answer, name: str) -> Number:
    return next(number for number in answer.numbers if number.name == name)


def first(answer: Answer) -> str:
    return answer.replies[0].text
