"""What was given field by field, each read by itself, with what is wrong at its own field."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TypeVar

from evenhand.desk.study.checking import FieldProblem, Given
from evenhand.errors import BadRecord
from evenhand.publish.worth_words import SEEN_ON, to_come_words

T = TypeVar("T")


class Fields:
    """Reads fields one by one and gathers what cannot be read."""

    def __init__(self, given: Given) -> None:
        self.given = given
        self.problems: list[FieldProblem] = []

    def text(self, name: str) -> str:
        """What was written, without the room around it."""
        return str(self.given.get(name) or "").strip()

    def read(self, name: str, how: Callable[[str], T], otherwise: T) -> T:
        """A field by `how`, which raises BadRecord; `otherwise` stands in for what cannot be read."""
        try:
            return how(self.text(name))
        except BadRecord as wrong:
            self.problems.append(FieldProblem(field=name, found=wrong.found, todo=wrong.todo))
            return otherwise


def day_said(text: str, *, today: date) -> date:
    """A day that is no later than today. Raises BadRecord."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        found = f"'{text[:40]}' is no day" if text else "the day is missing"
        raise BadRecord(found, todo="write it as 2031-05-04") from None
    if day > today:
        raise BadRecord(to_come_words(day), todo=SEEN_ON)
    return day


def refuse_problems(problems: tuple[FieldProblem, ...]) -> None:
    """Raises BadRecord that names the field, or all of them, where there are problems."""
    if len(problems) == 1:
        raise BadRecord(problems[0].found, where=problems[0].field, todo=problems[0].todo)
    if problems:
        told = "; ".join(f"{each.field}: {each.found}" for each in problems)
        fields = ", ".join(dict.fromkeys(each.field for each in problems))
        found = f"{len(problems)} things cannot be used: {told}"
        raise BadRecord(found, where=fields, todo="correct them")
