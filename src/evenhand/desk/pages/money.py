"""The money page: who is better value for whom, when that turns, and what a machine costs to own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import combinations
from urllib.parse import urlencode

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.money.basis import MoneyGround, Tried, ground_for
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare import PairChip
from evenhand.desk.pages.compare_choice import Asked, choose, pairs_of
from evenhand.desk.pages.done import Done, done_of
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.money_answer import among_of, answer_of
from evenhand.desk.pages.money_days import DaysPart, days_part
from evenhand.desk.pages.money_grid import GridPart, grid_part
from evenhand.desk.pages.money_led import LedPart, led_part
from evenhand.desk.pages.money_owning import OwningPart, owning_part
from evenhand.desk.pages.money_sliders import sliders_of, tried_of
from evenhand.desk.pages.money_terms import TermsPart, terms_part
from evenhand.desk.pages.money_value import ValuePart, value_part
from evenhand.desk.pages.verdict import NONE_COMPARED, NOTHING, chosen, shown_pair
from evenhand.desk.pages.verdict import Looked as LookedAtVerdict
from evenhand.desk.pages.verdict_worth import MoneyPart, money_part
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.publish.direction import isolated
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.names import Names
from evenhand.publish.verdict_words import prices_words, unpriced_words
from evenhand.store.workbench import Workbench

NO_CURRENCY = "No currency is on record, so nothing can be said of money."
TOO_FEW = "Fewer than two machines have a price, so nothing can be said of value."
TOO_LITTLE = "Of some pairs too little was measured of what this audience weighs to say what they are worth."
BANDS = "Bands and intervals are at 95\u00a0%."


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What an address asks to look at; `moved` are the fields of the sliders as they were sent."""

    audience: str = ""
    pair: str = ""
    moved: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class AudienceChip:
    """An audience to look at."""

    name: str
    address: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyPage:
    """Everything the page shows, in its order; what has no part is None.

    `lead` is where to go first where nothing can be said: words and an address.
    """

    frame: Frame
    answer: str
    money_terms: TermsPart
    terms: str = ""
    lead: tuple[str, str] = ("", "")
    done: Done | None = None
    stand_in: bool = False
    among: tuple[tuple[str, str], ...] = ()
    audiences: tuple[AudienceChip, ...] = ()
    audience: str = ""
    pairs: tuple[PairChip, ...] = ()
    why_pair: str = ""
    pair: str = ""
    value: ValuePart | None = None
    led: LedPart | None = None
    band: MoneyPart | None = None
    days: DaysPart | None = None
    owning: OwningPart | None = None
    grid: GridPart | None = None
    gaps: tuple[str, ...] = ()
    brief_address: str = ""
    builds_address: str = ""


def money_page(
    wb: Workbench, study: str, asked: Looked, *, today: date, done: int | None = None
) -> MoneyPage:
    """The money of one audience and one pair. Raises NotFound, and BadRecord for what cannot be tried on."""
    record = load_study(wb, study)
    frame = frame_of(record, "money")
    bare = MoneyPage(
        frame=frame, answer="", money_terms=terms_part(record.study),
        done=None if done is None else done_of(wb, record, done),
        brief_address=address(study, "brief"), builds_address=address(study, "builds"),
    )  # fmt: skip
    comparison = findings_now(record)
    choice = choose(record, comparison, Asked(pair=asked.pair))
    if choice is None or not any(f.ratio is not None for f in comparison.findings):
        nothing = NONE_COMPARED if record.runs else NOTHING
        return replace(bare, answer=nothing, lead=(frame.strip.label, frame.strip.address))
    judgement = judged_for(wb, record)
    here = chosen(judgement, asked.audience)
    pair, why = shown_pair(here, LookedAtVerdict(pair=asked.pair), choice.pair, judgement.names)
    whole = replace(
        bare, stand_in=judgement.stand_in, audience=here.audience.key, pair="~".join(pair), why_pair=why,
        audiences=audience_chips(study, judgement, here, pair if asked.pair else None),
        pairs=pair_chips(study, record, here, pair, judgement.names), terms=terms_line(judgement),
    )  # fmt: skip
    ground = ground_for(record, judgement, here)
    if ground is None:
        return replace(whole, answer=_lacking(judgement), lead=_lead(whole, judgement))
    tried = tried_of(ground, asked.moved)
    return _filled(wb, whole, ground, pair, tried, today=today)


def _filled(
    wb: Workbench, page: MoneyPage, ground: MoneyGround, pair: tuple[str, str], tried: Tried, *, today: date
) -> MoneyPage:
    here, judgement, names = ground.here, ground.judgement, ground.names
    moved = ground_for(ground.record, judgement, here, tried)
    assert moved is not None
    about = Pair(a=pair[0], b=pair[1], names=names, margin=ground.margin, level=0.95)
    told = pair in ground.edges
    return replace(
        page,
        answer=answer_of(ground, pair),
        among=among_of(judgement, names),
        value=value_part(ground),
        led=led_part(wb, ground, today=today),
        band=money_part(here, judgement, about),
        days=days_part(wb, ground, pair, today=today) if told else None,
        owning=owning_part(moved, pair, sliders_of(ground, moved), ground),
        grid=grid_part(ground, pair),
        gaps=tuple(gaps_of(ground)),
    )


def gaps_of(ground: MoneyGround) -> list[str]:
    """What is not on record and would say more."""
    told = list(unpriced_words(ground.judgement.paid, ground.names))
    if any(ground.edge(a, b) is None for a, b in combinations(ground.priced, 2)):
        told.append(
            "Of some pairs too little was measured of what this audience weighs to say what they are worth."
        )
    return told


def _lacking(judgement: Judgement) -> str:
    return NO_CURRENCY if judgement.paid.currency is None else TOO_FEW


def _lead(page: MoneyPage, judgement: Judgement) -> tuple[str, str]:
    if judgement.paid.currency is None:
        return "Say the currency", page.brief_address
    return "Write down prices", page.builds_address


def terms_line(judgement: Judgement) -> str:
    """The prices that were held against each other, and at which level bands are."""
    return " ".join((*prices_words(judgement.paid, judgement.names), BANDS))


def audience_chips(
    study: str, judgement: Judgement, here: ForAudience, pair: tuple[str, str] | None
) -> tuple[AudienceChip, ...]:
    """Every audience; a single one needs no choosing."""
    if len(judgement.audiences) < 2:
        return ()
    return tuple(
        AudienceChip(
            name=isolated(each.audience.name), here=each is here,
            address=money_address(study, each.audience.key, pair),
        )
        for each in judgement.audiences
    )  # fmt: skip


def pair_chips(
    study: str, record: StudyOnRecord, here: ForAudience, pair: tuple[str, str], names: Names
) -> tuple[PairChip, ...]:
    """Every pair that was compared."""
    return tuple(
        PairChip(
            sides=tuple((names.setup(key), names.slot(key).number) for key in each),
            address=money_address(study, here.audience.key, each), here=each == pair,
        )
        for each in pairs_of(findings_now(record))
    )  # fmt: skip


def money_address(study: str, audience: str, pair: tuple[str, str] | None) -> str:
    """Where the money of an audience stands."""
    named = {} if pair is None else {"pair": "~".join(pair)}
    return f"{address(study, 'money')}?{urlencode({'audience': audience, **named})}"
