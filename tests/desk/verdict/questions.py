"""Questions to the example, and what it says to them."""

from __future__ import annotations

from evenhand.desk.verdict.answering import Answered, answer
from evenhand.store.workbench import Workbench


def said(wb: Workbench, question: str) -> Answered:
    return answer(wb, "saltmarsh", question)


def words(found: Answered) -> str:
    lines = (*(line.words for line in found.lines), *found.budget)
    return "\n".join(lines).replace("\N{NO-BREAK SPACE}", " ")
