"""What of a script a change touches: figures that read otherwise, sentences that stand no more."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from evenhand.errors import EvenhandError
from evenhand.prose.objection import Objection
from evenhand.prose.quotables import Quotables
from evenhand.prose.references import Reference, resolve
from evenhand.prose.rendering import filled, unmarked
from evenhand.prose.script import Piece, Script, Sort
from evenhand.prose.timing import ChapterTime, Timed


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


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedSentence:
    """A sentence of a script that stood and does not stand now: where, as it was said, why, what would stand.

    `would_stand` is "" where nothing would; `start_s` is when its chapter begins.
    """

    line: int
    chapter: str
    start_s: float
    words: str
    why: str
    would_stand: str


Mark = tuple[str, int, int]  # of an objection: the rule, and where its words begin and end


def mark_of(objection: Objection) -> Mark:
    """By what an objection is known again, whatever numbers its reason tells."""
    return objection.rule.value, objection.place.start, objection.place.end


Why = tuple[str, str]  # why a sentence stands no more, and what would stand, "" for nothing


def touched_sentences(
    script: Script, times: Timed, before: Quotables, *, why: Callable[[Piece], Sequence[Why]]
) -> tuple[TouchedSentence, ...]:
    """Every sentence that stood and for which there is a `why` it stands no more, in its order.

    `before` are the figures as they were said; `times` are those of the script.
    """
    found = []
    for piece in script.said:
        told = why(piece)
        if told:
            chapter = _chapter(piece, script, times)
            found.append(
                TouchedSentence(
                    line=piece.place.line, chapter=chapter.title, start_s=chapter.start_s,
                    words=" ".join(unmarked(filled(piece.text, before)).split()),
                    why="; ".join(dict.fromkeys(why for why, _ in told)),
                    would_stand=" ".join(dict.fromkeys(words for _, words in told if words)),
                )
            )  # fmt: skip
    return tuple(found)


def objected_anew(
    piece: Piece, *, objected: Collection[Mark], now: Iterable[Objection]
) -> Iterator[tuple[str, str]]:
    """What is objected to in a sentence `now` and was not `objected` to before: why, and what would stand."""
    for each in now:
        if piece.place.start <= each.place.start < piece.place.end and mark_of(each) not in objected:
            yield each.reason, each.would_stand


def touched_figures(
    script: Script, times: Timed, before: Quotables, after: Quotables
) -> tuple[TouchedFigure, ...]:
    """Every reference that told something before and tells something else after, in the script's order.

    `times` are those of the script, whose chapters are counted as the script's pieces count them.
    """
    found = []
    for piece in script.said:
        chapter = _chapter(piece, script, times)
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


def _chapter(piece: Piece, script: Script, times: Timed) -> ChapterTime:
    """The chapter that a piece stands in."""
    first = 0 if _begins_with_chapter(script) else 1
    return times.chapters[min(max(piece.chapter - 1 + first, 0), len(times.chapters) - 1)]


def _begins_with_chapter(script: Script) -> bool:
    """Whether nothing is said before the first chapter, so that it is the first in the times as well."""
    first = next((p for p in script.pieces if p.sort is Sort.SENTENCE), None)
    return first is not None and first.chapter > 0


def _told(reference: Reference, figures: Quotables) -> str | None:
    try:
        return resolve(reference, figures)[1]
    except EvenhandError:
        return None
