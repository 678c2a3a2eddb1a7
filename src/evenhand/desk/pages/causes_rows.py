"""The rows of the causes page: what each part does in each test, and what depends on what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.desk.comparison.explaining import Explained
from evenhand.desk.pages.compare_rows import FindingRow, Rows
from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.publish.cause_words import (
    LEADS,
    Told,
    allowance_words,
    cause_details,
    cause_name,
    effect_words,
    why_not_called,
)
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.figures.rows_for_pages import head_row, interval_row, scale_of
from evenhand.publish.numbers import capital
from evenhand.publish.spans import Span, to_the_left
from evenhand.publish.standing import standing

LESS_OR_MORE = ("less together", "more together")


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseRows:
    """Effects by test on one scale, and below them what depends on what, on the same."""

    effects: Rows
    depends_on: Rows


def about_causes(found: Explained) -> Pair:
    """The pair as its rows speak of it."""
    level = next((c.effect.level for c in found.causes if c.effect is not None), 0.95)
    return Pair(a=found.a, b=found.b, names=found.names, margin=found.record.study.margin, level=level)


def told_of(found: Explained) -> Told:
    """What setups, tests and parts are called."""
    return Told(names=found.names, parts=found.parts)


def cause_rows(found: Explained) -> CauseRows | None:
    """One row for each effect that was asked for; None where nothing was."""
    if not found.causes:
        return None
    about, told, causes = about_causes(found), told_of(found), _in_order(found)
    rows = [_row(cause, about) for cause in causes]
    scale = scale_of(rows, about.margin)
    made = [_shown(cause, row, about, told, scale) for cause, row in zip(causes, rows, strict=True)]
    effects = _by_test([(c, r) for c, r in zip(causes, made, strict=True) if c.sort is Sort.EFFECT])
    depends = [r for c, r in zip(causes, made, strict=True) if c.sort is Sort.INTERACTION]
    return CauseRows(
        effects=Rows(head=head_row(about, scale, signed=False), rows=effects),
        depends_on=Rows(head=head_row(about, scale, ends=LESS_OR_MORE), rows=tuple(depends)),
    )


def _in_order(found: Explained) -> list[Cause]:
    """By test, what is told apart first."""
    tests = list(found.record.study.tests)
    return sorted(found.causes, key=lambda c: (tests.index(c.test), c.standing is not Standing.SHOWN))


def _row(cause: Cause, about: Pair) -> Row:
    """What is drawn: filled where one part is told apart, outlined where several changed together."""
    effect = cause.effect
    inter = cause.sort is Sort.INTERACTION
    own = cause.standing is Standing.SHOWN and not inter
    return Row(
        label=about.names.test(cause.test), outcome=effect.outcome if effect else None, word="",
        span=_place(cause), hollow=not own,
        leader=about.leader(effect.outcome) if effect and not inter else None,
    )  # fmt: skip


def _place(cause: Cause) -> Span | None:
    """Where it is drawn: on the side of whoever is in front, at the number that is told of them."""
    span = None if cause.effect is None else standing(cause.effect)
    if span is None or cause.sort is Sort.INTERACTION or span.value >= 0:
        return span
    return to_the_left(span)


def _shown(cause: Cause, row: Row, about: Pair, told: Told, scale: Scale) -> FindingRow:
    words = effect_words(cause, told)
    what = cause_name(cause)
    said = f"{row.label}, {what}: {words.state}, {words.interval}".rstrip(", ")
    return FindingRow(
        key=f"{cause.sort.value}-{cause.test}-{'-'.join(cause.factors)}".replace(" ", "-"),
        name=row.label, small=what or "nothing asked",
        picture=interval_row(row, about, scale, said=said),
        state=words.state, interval=words.interval, sort=words.sort, slot=words.slot,
        note="; ".join(filter(None, (_note(cause), allowance_words(cause)))),
        details=cause_details(cause, told),
    )  # fmt: skip


def _note(cause: Cause) -> str:
    if cause.sort is Sort.EFFECT and cause.effect is not None and cause.standing is not Standing.SHOWN:
        return cause.standing.value
    if cause.effect is not None and cause.effect.perhaps_small and cause.effect.outcome in LEADS:
        return "perhaps under the margin"
    if cause.effect is not None and (why := why_not_called(cause.effect)):
        return why
    return f"depends on {cause.depends_on[0]}" if cause.depends_on else ""


def _by_test(told: Sequence[tuple[Cause, FindingRow]]) -> tuple[FindingRow, ...]:
    """A test is named once; further effects in it stand under their own name."""
    seen: set[str] = set()
    made = []
    for cause, row in told:
        again = cause.test in seen
        seen.add(cause.test)
        made.append(replace(row, name=capital(row.small), small="", quiet=True) if again else row)
    return tuple(made)
