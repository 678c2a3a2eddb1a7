"""A checked script as answers in JSON."""

from __future__ import annotations

from typing import Any

from evenhand.desk.publication.scripts import Checked
from evenhand.prose.objection import Objection
from evenhand.prose.timing import time_code


def script_answer(checked: Checked, study: str) -> dict[str, Any]:
    """What is objected to in a script, how it reads, and when each chapter begins."""
    times = checked.times
    return {
        "study": study,
        "objections": [objection_answer(each) for each in checked.objections],
        "untold": list(checked.untold),
        "cautions": list(checked.cautions),
        "words": times.words,
        "seconds": times.seconds,
        "chapters": [
            {"title": c.title, "at": time_code(c.start_s), "start_s": c.start_s, "words": c.words}
            for c in times.chapters
        ],
        "cards": [
            {"card": c.card, "at": time_code(c.start_s), "start_s": c.start_s, "line": c.line}
            for c in times.cues
        ],
        "narration": checked.narration,
    }


def objection_answer(objection: Objection) -> dict[str, Any]:
    """One objection, with its place in the script."""
    place = objection.place
    return {
        "rule": objection.rule.value,
        "kind": None if objection.kind is None else objection.kind.value,
        "line": place.line,
        "column": place.column,
        "start": place.start,
        "end": place.end,
        "excerpt": objection.excerpt,
        "reason": objection.reason,
        "taken_for": objection.taken_for,
        "would_stand": objection.would_stand,
    }
