"""The verdict page: for whom which machine, how surely, what the money says, and what would flip it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from urllib.parse import urlencode

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare import PairChip
from evenhand.desk.pages.compare_choice import Asked, choose, pairs_of
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.verdict_claims import ClaimsPart, claims_part
from evenhand.desk.pages.verdict_figure import WeightFigure, weight_figure
from evenhand.desk.pages.verdict_reserved import Unflipped, reservations, unflipped_of, unsaid
from evenhand.desk.pages.verdict_rows import (
    MOST_FLIPS,
    AudienceRows,
    FlipRow,
    audience_rows,
    flip_rows,
    more_flips,
)
from evenhand.desk.pages.verdict_worth import MoneyPart, money_part
from evenhand.desk.verdict.claiming import claims_of
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.desk.verdict.verdict_curve import curve_of
from evenhand.desk.verdict.verdict_ground import Slider, ground_of, sliders_of, tried
from evenhand.errors import NotFound, nearest
from evenhand.findings.finding import Comparison
from evenhand.publish.among_words import MOST, among_answer, among_lines, of_all_words
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.front_words import why_first
from evenhand.publish.names import Names
from evenhand.publish.sentences import why_no_ratio
from evenhand.publish.unmeasured_words import besides_words
from evenhand.publish.verdict_answer import verdict_answer
from evenhand.publish.verdict_words import buy_words, prices_words
from evenhand.store.workbench import Workbench

NOTHING = "Nothing has been measured yet, so no verdict is due. Who it is for can be written down already."
NONE_COMPARED = "In no test that is compared does a run of both count, so no verdict is due."


ONE_THING = (
    "One thing is weighed",
    "With a second group of tests, or a second property, this place shows how the lead moves between them.",
)
NO_NUMBER = ("No lead to be shown", "Too little of what this audience weighs has a number.")


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictPage:
    """Everything the page shows, in its order; without `audiences` there is nothing to judge yet.

    Of three machines and more the `answer` speaks of all of them, `among` tells every audience's own where
    that leaves some untold, and `of_pair` what the chosen pair is; of two the answer is theirs.
    """

    frame: Frame
    answer: str
    terms: str = ""
    lead: str = ""
    stand_in: bool = False
    of_all: str = ""
    among: tuple[tuple[str, str], ...] = ()
    pairs: tuple[PairChip, ...] = ()
    why_pair: str = ""
    of_pair: str = ""
    pair: str = ""
    here: str = ""
    weight: WeightFigure | None = None
    no_weight: tuple[str, str] = ONE_THING
    money: MoneyPart | None = None
    audiences: AudienceRows | None = None
    flips: tuple[FlipRow, ...] = ()
    flips_more: str = ""
    flips_rest: tuple[FlipRow, ...] = ()
    unflipped: Unflipped | None = None
    claims: ClaimsPart | None = None
    sliders: tuple[Slider, ...] = ()
    read: str = ""
    two_address: str = ""
    reservations: tuple[str, ...] = ()
    brief_address: str = ""
    ground: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What an address asks to look at; "" leaves it to the page. `weights` are tried on, in per cent."""

    pair: str = ""
    audience: str = ""
    weights: Mapping[str, float] = field(default_factory=dict)


def verdict_page(wb: Workbench, study: str, asked: Looked) -> VerdictPage:
    """The verdict on a pair for every audience, one of them looked at. Raises NotFound for what is none."""
    mark = ("verdict page", study, asked.pair, asked.audience, tuple(sorted(asked.weights.items())))
    return wb.lately(mark, lambda: _made(wb, study, asked))


def _made(wb: Workbench, study: str, asked: Looked) -> VerdictPage:
    record = load_study(wb, study)
    comparison = findings_now(record)
    choice = choose(record, comparison, Asked(pair=asked.pair))
    brief = address(study, "brief")
    if choice is None or not any(f.ratio is not None for f in comparison.findings):
        frame = frame_of(record, "verdict")
        why = why_no_ratio(comparison.findings, names_of(record))
        nothing = NONE_COMPARED if record.runs else NOTHING
        return VerdictPage(frame=frame, answer=why or nothing, lead=frame.strip.next, brief_address=brief)
    judgement = judged_for(wb, record)
    here = chosen(judgement, asked.audience)
    pair, why = shown_pair(here, asked, choice.pair, judgement.names)
    links = {
        each.audience.key: verdict_address(study, pair if asked.pair else None, each.audience.key)
        for each in judgement.audiences
    }
    page = replace(_page(record, comparison, judgement, here, pair, links), why_pair=why)
    if here.trouble is not None:
        return page
    return replace(
        page,
        claims=claims_part(claims_of(wb, record, judgement, here, pair)),
        sliders=sliders_of(here, judgement.names),
        read=read_words(here, asked, pair, judgement),
        ground=json.dumps(ground_of(here, pair, judgement.names)),
    )


def shown_pair(
    here: ForAudience, asked: Looked, otherwise: tuple[str, str], names: Names
) -> tuple[tuple[str, str], str]:
    """The pair that is looked at and why: what is asked for needs no reason.

    Else it is the one that matters most to the audience; without such a one `otherwise`, or the first that
    has a verdict which says something.
    """
    front = None if asked.pair else here.front
    if front is not None:
        return front.pair, why_first(front, names)
    seen = [(each.a, each.b) for each in here.verdicts if not each.is_blind]
    return (otherwise if asked.pair or otherwise in seen or not seen else seen[0]), ""


def read_words(here: ForAudience, asked: Looked, pair: tuple[str, str], judgement: Judgement) -> str:
    """What the verdict says under weights that are tried on, or as they were written down."""
    found = tried(here, asked.weights, pair)
    if found is None:
        return "Nothing that has a weight was measured."
    margin, currency = here.case.study.margin, judgement.paid.currency
    lead = "With these weights: " if asked.weights else "As written down: "
    said = buy_words(found, judgement.names, margin=margin, currency=currency)
    return f"{lead}{said}.{besides_words(found)}"


def chosen(judgement: Judgement, key: str) -> ForAudience:
    """The audience of this key; the first where none is named. Raises NotFound with the nearest."""
    known = {each.audience.key: each for each in judgement.audiences}
    if key and key not in known:
        raise NotFound(f"no audience is called '{key}'", where="audience", todo=nearest(key, known))
    return known[key] if key else judgement.audiences[0]


def _page(
    record: StudyOnRecord,
    comparison: Comparison,
    judgement: Judgement,
    here: ForAudience,
    pair: tuple[str, str],
    addresses: Mapping[str, str],
) -> VerdictPage:
    names, study = names_of(record), record.study
    about = Pair(a=pair[0], b=pair[1], names=names, margin=study.margin, level=0.95)
    verdict = here.verdict(*pair)
    currency = judgement.paid.currency
    runs = {each.run.id: each.run.label for each in record.runs}
    curve = curve_of(here, judgement.audiences, pair) if here.trouble is None else None
    flips = () if verdict is None else flip_rows(here.flips, verdict, about, currency=currency, runs=runs)
    return replace(
        _answered(record, judgement, about),
        pairs=pair_chips(study.key, comparison, here, pair, names),
        pair="~".join(pair),
        here=here.audience.key,
        weight=None if curve is None else weight_figure(curve, about, verdict),
        no_weight=NO_NUMBER if verdict is None or verdict.is_blind else ONE_THING,
        money=money_part(here, judgement, about),
        audiences=audience_rows(
            judgement.audiences, about, currency=currency, here=here.audience.key, addresses=addresses
        ),
        flips=flips[:MOST_FLIPS],
        flips_rest=flips[MOST_FLIPS:],
        flips_more=more_flips(flips),
        unflipped=None if flips or verdict is None else unflipped_of(verdict, here),
        two_address=two_address(study.key, pair, here.audience.key),
        reservations=tuple(reservations(here, pair, names) or unsaid(here, pair, names)),
    )


def _answered(record: StudyOnRecord, judgement: Judgement, about: Pair) -> VerdictPage:
    """The page with its answer alone, and what that rests on."""
    names = about.names
    among = [(each.audience, each.among) for each in judgement.audiences]
    told = [(audience, found) for audience, found in among if found is not None]
    verdicts = [(each.audience, each.verdict(about.a, about.b)) for each in judgement.audiences]
    of_pair = verdict_answer(verdicts, about, currency=judgement.paid.currency)
    lines = among_lines(told, names)
    return VerdictPage(
        frame=frame_of(record, "verdict"),
        answer=among_answer(told, names, whole=len(told) == len(among)) if told else of_pair,
        of_all=of_all_words(told[0][1]) if told else "",
        among=lines if 1 < len(lines) < len(told) or len(lines) > MOST else (),
        of_pair=of_pair if told else "",
        terms=terms_line(judgement, names),
        stand_in=judgement.stand_in,
        brief_address=address(record.study.key, "brief"),
    )


def terms_line(judgement: Judgement, names: Names) -> str:
    """The prices that were held against each other, and under which conditions was measured."""
    return " ".join((*prices_words(judgement.paid, names), *names.terms_told))


def pair_chips(
    study: str, comparison: Comparison, here: ForAudience, pair: tuple[str, str], names: Names
) -> tuple[PairChip, ...]:
    """Every pair; a single one needs no choosing."""
    return tuple(
        PairChip(
            sides=tuple((names.setup(key), names.slot(key).number) for key in each),
            address=verdict_address(study, each, here.audience.key),
            here=each == pair,
        )
        for each in pairs_of(comparison)
    )


def verdict_address(study: str, pair: tuple[str, str] | None, audience: str) -> str:
    """Where the verdict on a pair for an audience stands; without a pair on the one that matters to it."""
    return f"{address(study, 'verdict')}?{_query(pair, audience)}"


def two_address(study: str, pair: tuple[str, str], audience: str) -> str:
    """Where it stands what two changes together would flip."""
    return f"{address(study, 'verdict', 'two')}?{_query(pair, audience)}"


def _query(pair: tuple[str, str] | None, audience: str) -> str:
    named = {} if pair is None else {"pair": "~".join(pair)}
    return urlencode({**named, "audience": audience})
