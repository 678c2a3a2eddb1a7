"""What of a script a change touches: figures that read otherwise, sentences that stand no more."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from evenhand.errors import EvenhandError
from evenhand.prose.objection import Objection
from evenhand.prose.quotables import Quotables
from evenhand.prose.references import Reference, resolve
from evenhand.prose.rendering import filled, unmarked
from evenhand.prose.script import Piece, Script, Sort
from evenhand.prose.timing import ChapterTime, Spoken


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedFigure:
    """A figure of a script that reads otherwise now: where it stands, as it was said and as it would be.

    `after` is None where the record holds it no more; `start_s` is when its chapter begins. `within` says
    that it is still within the interval that it had.
    """

    address: str
    line: int
    chapter: str
    start_s: float
    before: str
    after: str | None
    within: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchedSentence:
    """A sentence of a script that stands no more: where, as it was said, why, what would stand.

    `would_stand` is "" where nothing would; `start_s` is when its chapter begins. `against` is what was
    objected to in it when it went out, "" where it stood: such a sentence is told where something else is
    objected to in it now, or nothing, and `why` says what.
    """

    line: int
    chapter: str
    start_s: float
    words: str
    why: str
    would_stand: str
    against: str = ""

    @property
    def told(self) -> str:
        """What is to be said behind it: that it stands no more, or against what it went out, and what now."""
        if self.against:
            return f"went out against an objection ({self.against}); now: {self.why}"
        return f"stands no more ({self.why})"


Why = tuple[str, str]  # why a sentence stands no more, and what would stand, "" for nothing


def touched_sentences(
    spoken: Spoken, *, why: Callable[[Piece], Sequence[Why]], against: Callable[[Piece], str]
) -> tuple[TouchedSentence, ...]:
    """Every sentence for which there is a `why`, in its order, with what it went out `against`."""
    found = []
    for piece in spoken.script.said:
        told = why(piece)
        if told:
            chapter = _chapter(piece, spoken)
            found.append(
                TouchedSentence(
                    line=piece.place.line, chapter=chapter.title, start_s=chapter.start_s,
                    words=" ".join(unmarked(filled(piece.text, spoken.figures)).split()),
                    why="; ".join(dict.fromkeys(why for why, _ in told)),
                    would_stand=" ".join(dict.fromkeys(words for _, words in told if words)),
                    against=against(piece),
                )
            )  # fmt: skip
    return tuple(found)


def objected_in(piece: Piece, found: Iterable[Objection]) -> Iterator[Why]:
    """Of what is objected to in a script, what lies in a sentence: why, and what would stand."""
    return ((each.reason, each.would_stand) for each in found if is_in(piece, each.place.start))


def is_in(piece: Piece, at: int) -> bool:
    """Whether a place in the script lies in a piece of it."""
    return piece.place.start <= at < piece.place.end


def touched_figures(spoken: Spoken, after: Quotables) -> tuple[TouchedFigure, ...]:
    """Every reference that told something before and tells something else after, in the script's order."""
    found = []
    for piece in spoken.script.said:
        chapter = _chapter(piece, spoken)
        for reference in piece.references:
            was, now = _told(reference, spoken.figures), _told(reference, after)
            if was is not None and was != now:
                line = spoken.script.place(reference.start, reference.end).line
                found.append(
                    TouchedFigure(
                        address=reference.address, line=line, chapter=chapter.title,
                        start_s=chapter.start_s, before=was, after=now,
                        within=now is not None and _within(reference.address, spoken.figures, after),
                    )
                )  # fmt: skip
    return tuple(found)


def _within(address: str, before: Quotables, after: Quotables) -> bool:
    """Whether a figure is still within the interval that it had; not where it had none."""
    was, now = before.find(address), after.find(address)
    return was.low is not None and was.high is not None and was.low <= now.value <= was.high


def _chapter(piece: Piece, spoken: Spoken) -> ChapterTime:
    """The chapter that a piece stands in; chapters of the times are counted as the script's pieces are."""
    first, chapters = 0 if _begins_with_chapter(spoken.script) else 1, spoken.times.chapters
    return chapters[min(max(piece.chapter - 1 + first, 0), len(chapters) - 1)]


def _begins_with_chapter(script: Script) -> bool:
    """Whether nothing is said before the first chapter, so that it is the first in the times as well."""
    first = next((p for p in script.pieces if p.sort is Sort.SENTENCE), None)
    return first is not None and first.chapter > 0


def _told(reference: Reference, figures: Quotables) -> str | None:
    if not figures.has(reference.address):  # asked first: what is near to it is nobody's question here
        return None
    try:
        return resolve(reference, figures)[1]
    except EvenhandError:
        return None
