"""Every food of the table is answered, fresh, asked about and dried, without a fault."""

from __future__ import annotations

import pytest

from stillroom.tables.tables import tables
from stillroom.talk.screen import plain_text
from stillroom.talk.session import Session
from stillroom.talk.wording import answer_lines

NOTES = ("3 kg {food}", "how do I dry {food}?", "2 cups of dried {food}, how long do they keep?")


@pytest.mark.parametrize("note", NOTES)
def test_every_food_is_answered(note: str, session: Session) -> None:
    for food in tables().foods.values():
        answer = session.reply(note.format(food=food.plural), keep=False)
        assert {said.food for said in answer.reading.statements} == {food.id}
        assert plain_text(answer_lines(answer, session.titles), 80).strip(), food.id
        for number in answer.numbers:
            assert number.low <= number.likely <= number.high, (food.id, number.name)
