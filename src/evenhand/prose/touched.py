"""What of a script a change of the record touches: each figure that reads otherwise, and where."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.errors import EvenhandError
from evenhand.prose.quotables import Quotables
from evenhand.prose.references import Reference, resolve
from evenhand.prose.script import Script, Sort
from evenhand.prose.timing import Timed


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedFigure:
    """A figure of a script that reads otherwise now: where it stands, as it was said and as it would be.

    `after` is None where the record holds it no more; `start_s` is when its chapter begins.
    """

    address: str
    line: int
    chapter: str
    start_s: float
    before: str
    after: str | None


def touched_figures(
    script: Script, times: Timed, before: Quotables, after: Quotables
) -> tuple[TouchedFigure, ...]:
    """Every reference that told something before and tells something else after, in the script's order.

    `times` are those of the script, whose chapters are counted as the script's pieces count them.
    """
    found = []
    first = 0 if _begins_with_chapter(script) else 1
    for piece in script.pieces:
        if piece.sort not in (Sort.SENTENCE, Sort.HEADING):
            continue
        chapter = times.chapters[min(max(piece.chapter - 1 + first, 0), len(times.chapters) - 1)]
        for reference in piece.references:
            was, now = _told(reference, before), _told(reference, after)
            if was is not None and was != now:
                line = script.place(reference.start, reference.end).line
                found.append(
                    TouchedFigure(
                        address=reference.address, line=line, chapter=chapter.title,
                        start_s=chapter.start_s, before=was, after=now,
                    )
                )  # fmt: skip
    return tuple(found)


def _begins_with_chapter(script: Script) -> bool:
    """Whether nothing is said before the first chapter, so that it is the first in the times as well."""
    first = next((p for p in script.pieces if p.sort is Sort.SENTENCE), None)
    return first is not None and first.chapter > 0


def _told(reference: Reference, figures: Quotables) -> str | None:
    try:
        return resolve(reference, figures)[1]
    except EvenhandError:
        return None
