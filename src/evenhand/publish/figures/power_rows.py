"""The power budget drawn: for each length of time what is drawn, and the post that the supply bears.

Filled in the build's colour where it is borne, outlined where it is not, dashed and grey where nobody knows.
Classes of the style sheet give colours; widths are per cent, so that type keeps its size.
"""

from __future__ import annotations

from evenhand.fit.answers import Answer
from evenhand.fit.power import Budget, Excursion
from evenhand.publish.figures.percent_svg import box, figure, level, upright, word
from evenhand.publish.fit_words import STATE
from evenhand.publish.picture import Picture
from evenhand.publish.power_words import length_words, over_words

ROW = 54  # px a row: a line of words, and the bar under it
WORDS_AT, BAR_AT, BAR = 16.0, 26.0, 10.0
ROOM = 0.96  # of the width: the post of the most is never at its very end


def power_rows(budget: Budget, slot: int, *, name: str) -> Picture:
    """The budget of one build; an empty picture where no watts are known at all."""
    most = max(
        (w for each in budget.over for w in (each.drawn_w, each.borne_w) if w is not None), default=0.0
    )
    rows = [_row(each, slot, most, at * ROW) for at, each in enumerate(as_drawn(budget))] if most else []
    seen = "; ".join(_said(each) for each in budget.over)
    title, high = f"What {name} draws, against what its supply bears", ROW * len(rows)
    svg = figure("".join(rows), high, title=title, seen=seen, kind="power") if rows else ""
    return Picture(svg=svg, width=0, height=high, title=title, description=seen)


def as_drawn(budget: Budget) -> tuple[Excursion, ...]:
    """For long first, then from the longest excursion to the shortest: from the least to the most."""
    return (budget.over[0], *reversed(budget.over[1:]))


def _row(over: Excursion, slot: int, most: float, top: float) -> str:
    def x(watts: float) -> float:
        return 100 * ROOM * watts / most

    middle = top + BAR_AT + BAR / 2
    said = word(length_words(over.ms), 0, top + WORDS_AT, kind="str")
    said += word(f"{over_words(over)}", 100, top + WORDS_AT, anchor="end")
    ground = level(middle)
    bar = "" if over.drawn_w is None else _bar(over, slot, x(over.drawn_w), top)
    post = (
        ""
        if over.borne_w is None
        else upright(x(over.borne_w), top + BAR_AT - 5, top + BAR_AT + BAR + 5, "post")
    )
    return said + ground + bar + post


def _bar(over: Excursion, slot: int, end: float, top: float) -> str:
    if over.answer is Answer.UNKNOWN:
        return box(0, top + BAR_AT, end, BAR, "bar uns")
    return box(0, top + BAR_AT, end, BAR, f"bar b{slot}" if over.answer is Answer.FITS else "bar hol")


def _said(over: Excursion) -> str:
    return f"{length_words(over.ms)} {over_words(over)}: {STATE[over.answer].lower()}"
