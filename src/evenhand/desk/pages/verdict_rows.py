"""The rows of the verdict page: how each audience stands, and each change that would flip it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.desk.pages.compare_rows import FindingRow, row_of
from evenhand.desk.verdict.judged import ForAudience
from evenhand.money.break_even import Value
from evenhand.publish.figures.flips_drawn import FlipScene, flip_row
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.figures.rows_for_pages import head_row, interval_row, scale_of
from evenhand.publish.flip_words import effects_words, move_words
from evenhand.publish.money_words import value_words
from evenhand.publish.numbers import capital, counted, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.standing import standing
from evenhand.publish.unmeasured_words import besides_words
from evenhand.publish.verdict_words import (
    LEADS,
    chance_words,
    front,
    front_span,
    lead_words,
    weighing_words,
)
from evenhand.records.prices import Currency
from evenhand.verdicts.moves import Aspect, Flip, Move
from evenhand.verdicts.verdict import Verdict

MOST_FLIPS = 7
NOT_SAID = "Nothing to be said"


@dataclass(frozen=True, slots=True, kw_only=True)
class AudienceRow:
    """An audience: its row, what it weighs, how firmly it stands where one looks at it, and what money says.

    `sort` of the money is "ahead", "level" or "unsettled", with the slot of the better buy.
    """

    row: FindingRow
    weighs: str
    firmly: str
    money: str
    money_sort: str
    money_slot: int | None
    trouble: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AudienceRows:
    """All audiences on one scale, with what stands over them."""

    head: Picture
    rows: tuple[AudienceRow, ...]


def audience_rows(
    audiences: Sequence[ForAudience],
    about: Pair,
    *,
    currency: Currency | None,
    here: str,
    addresses: Mapping[str, str],
) -> AudienceRows:
    """One row for each audience, in the order in which they were written down."""
    found = [(each, each.verdict(about.a, about.b)) for each in audiences]
    rows = [_row(each, verdict, about) for each, verdict in found]
    scale = scale_of(rows, about.margin)
    made = []
    for (each, verdict), row in zip(found, rows, strict=True):
        shown = _of_front(row_of(row, about, scale, key=each.audience.key), verdict, about)
        said = f"{shown.name}: {shown.state}, {shown.interval}".rstrip(", ")
        shown = replace(shown, picture=interval_row(row, about, scale, said=said))
        key = each.audience.key
        shown = replace(shown, address=addresses.get(key, ""), here=key == here)
        made.append(_dressed(each, verdict, shown, about, currency))
    return AudienceRows(head=head_row(about, scale), rows=tuple(made))


def _of_front(row: FindingRow, verdict: Verdict | None, about: Pair) -> FindingRow:
    """The row told of whoever is in front, as the page's heading and every sentence on it are."""
    if verdict is None:
        return replace(row, state="No verdict")
    if verdict.is_blind:
        return row
    told = _told_of_front(row, verdict, about)
    return replace(
        told, interval=f"{told.interval}{besides_words(verdict).rstrip('.').replace(' ', '; ', 1)}"
    )


def _told_of_front(row: FindingRow, verdict: Verdict, about: Pair) -> FindingRow:
    span, name = front_span(verdict), about.names.setup(front(verdict)[0])
    clear = span.low is not None and span.low >= 0 and not span.note
    if verdict.outcome in LEADS and clear:
        return replace(row, state=f"{name} ahead {with_unit(span.digits(), '%')}", interval=span.range())
    return replace(row, interval=lead_words(verdict, about.names))


def _row(each: ForAudience, verdict: Verdict | None, about: Pair) -> Row:
    if verdict is None:
        word = "not to be had" if each.trouble else "nothing that it weighs was measured"
        return Row(label=each.audience.name, small=each.audience.told, outcome=None, span=None, word=word)
    if verdict.is_blind:  # the number of the rest would stand under the name of what is unknown
        word = f"{with_unit(number(100 * verdict.missing), '%')} of the weight has no number"
        return Row(label=each.audience.name, small=each.audience.told, outcome=None, span=None, word=word)
    return Row(
        label=each.audience.name, small=each.audience.told, outcome=verdict.outcome, span=standing(verdict),
        word="", leader=about.leader(verdict.outcome), perhaps_small=verdict.perhaps_small,
    )  # fmt: skip


def _dressed(
    each: ForAudience, verdict: Verdict | None, row: FindingRow, about: Pair, currency: Currency | None
) -> AudienceRow:
    names, firmly = about.names, ""
    if verdict and row.here:
        firmly = chance_words(each.wobbles.get((about.a, about.b)), verdict, names)
    said = value_words(verdict, names, currency) if verdict and currency else ""
    sides = {Value.A: about.a, Value.B: about.b}
    value = verdict.value if verdict and not verdict.value_open else Value.UNKNOWN
    slot = names.slot(sides[value]).number if value in sides else None
    sort = "ahead" if slot else "level" if value is Value.LEVEL else "unsettled"
    return AudienceRow(
        row=row, weighs=weighing_words(each.audience, names),
        firmly=firmly, money=capital(said) if said else NOT_SAID,
        money_sort=sort, money_slot=slot, trouble=str(each.trouble) if each.trouble else "",
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class FlipRow:
    """One change: what moves, its picture, and what it says then."""

    change: str
    small: str
    picture: Picture
    effect: str


def flip_rows(
    flips: Sequence[Flip],
    verdict: Verdict,
    about: Pair,
    *,
    currency: Currency | None,
    runs: Mapping[str, str],
) -> tuple[FlipRow, ...]:
    """The changes that flip something of this pair, the smallest first; of like changes one."""
    scene = FlipScene(about=about, ratio=verdict.ratio, currency=currency)
    own = by_change(telling_flips(flips, (about.a, about.b)))
    return tuple(_flip_row(each, scene, runs) for each in own)


def more_flips(rows: Sequence[FlipRow]) -> str:
    """How many flips are shown only when asked for, as a sentence without a stop; "" where all are."""
    more = len(rows) - MOST_FLIPS
    return f"{capital(counted(more, 'larger change'))} would flip something too" if more > 0 else ""


def telling_flips(flips: Sequence[Flip], pair: tuple[str, str]) -> tuple[Flip, ...]:
    """The flips of a pair, the smallest first: one for each thing that moves and each way in which it turns.

    Who is in front is not told by itself where the very same change puts that one ahead.
    """
    own = [flip for flip in flips if (flip.a, flip.b) == pair]
    leads = {(flip.moves, flip.becomes) for flip in own if flip.aspect is Aspect.OUTCOME}
    told: dict[tuple[object, ...], Flip] = {}
    for flip in own:
        if flip.aspect is Aspect.ORDER and flip.becomes and (flip.moves, flip.becomes) in leads:
            continue
        told.setdefault((*((move.lever, move.name) for move in flip.moves), flip.aspect), flip)
    return tuple(told.values())


def by_change(flips: Sequence[Flip]) -> tuple[tuple[Flip, ...], ...]:
    """Flips with those of the very same change together, so that one change is told once."""
    found: dict[tuple[Move, ...], list[Flip]] = {}
    for flip in flips:
        found.setdefault(flip.moves, []).append(flip)
    return tuple(map(tuple, found.values()))


def _flip_row(flips: Sequence[Flip], scene: FlipScene, runs: Mapping[str, str]) -> FlipRow:
    flip, names = flips[0], scene.about.names
    told = [move_words(move, names, currency=scene.currency, runs=runs) for move in flip.moves]
    changes = [said.partition(" from ") for said in told]
    return FlipRow(
        change=capital(" and ".join(said for said, _, _ in changes)),
        small=", ".join(f"from {since}" for _, _, since in changes if since),
        picture=flip_row(flip, scene),
        effect=f"{capital(effects_words(flips, names))}.",
    )
