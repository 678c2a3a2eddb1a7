"""The page of what two changes together would flip."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare_choice import Asked, choose
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.pages.verdict import Looked, chosen, shown_pair, two_address, verdict_address
from evenhand.desk.pages.verdict_rows import MOST_FLIPS, FlipRow, flip_rows, more_flips, telling_flips
from evenhand.desk.verdict.judged import ForAudience
from evenhand.desk.verdict.judged_for import judged_for, two_are_known, two_at_once
from evenhand.publish.direction import isolated
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.flip_words import once_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed
from evenhand.publish.tried_words import asked_words, one_by_one
from evenhand.store.workbench import Workbench
from evenhand.verdicts.verdict import Verdict

NONE_DUE = "no verdict is due yet, so there is none that two changes could turn"


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoPage:
    """What two changes together would flip; `frame` stands around it where it is a page of its own.

    `answer` is the smallest of them as a sentence; `more` says how many are not shown. While they are not
    found yet, `whole` is where they are waited for.
    """

    frame: Frame
    answer: str
    about: str
    heading: str
    flips: tuple[FlipRow, ...]
    more: str
    back: str
    whole: str = ""


def two_page(wb: Workbench, study: str, asked: Looked, *, whole: bool = True) -> TwoPage:
    """The smallest pairs of changes that turn something of a pair for an audience. Raises NotFound.

    Without `whole`, what would have to be searched for first is left for later.
    """
    record = load_study(wb, study)
    choice = choose(record, findings_now(record), Asked(pair=asked.pair))
    judgement = judged_for(wb, record)
    here = chosen(judgement, asked.audience)
    pair, _ = shown_pair(here, asked, choice.pair, judgement.names) if choice else (("", ""), "")
    verdict = here.verdict(*pair)
    if verdict is not None and not whole and not two_are_known(wb, record, here):
        return _later(record, pair, here)
    together = () if verdict is None else two_at_once(wb, record, here)
    rows: tuple[FlipRow, ...] = ()
    labels = {each.run.id: each.run.label for each in record.runs}
    if verdict is not None:
        about = Pair(a=pair[0], b=pair[1], names=judgement.names, margin=record.study.margin, level=0.95)
        rows = flip_rows(together, verdict, about, currency=judgement.paid.currency, runs=labels)
    first, sides = next(iter(telling_flips(together, pair)), None), _sides(pair, judgement.names)
    told, how, heading = _none_of_two(here, verdict, sides) if verdict else (NONE_DUE, "", "")
    if first is not None:
        told = once_words(first, judgement.names, currency=judgement.paid.currency, runs=labels)
        how, heading = "each alone would not do, or not so small", "What two changes together would flip"
    return TwoPage(
        frame=frame_of(record, "verdict"),
        answer=f"For {isolated(here.audience.name)}, {told}.",
        about=f"Two changes at once, {sides}: {how}." if how else "",
        heading=heading,
        flips=rows[:MOST_FLIPS],
        more=f"{larger}." if (larger := more_flips(rows)) else "",
        back=verdict_address(study, pair, here.audience.key),
    )  # fmt: skip


def _later(record: StudyOnRecord, pair: tuple[str, str], here: ForAudience) -> TwoPage:
    """The page while nothing is found yet."""
    return TwoPage(
        frame=frame_of(record, "verdict"),
        answer=f"For {isolated(here.audience.name)}, every two changes are being tried together.",
        about="", heading="", flips=(), more="",
        back=verdict_address(record.study.key, pair, here.audience.key),
        whole=f"{two_address(record.study.key, pair, here.audience.key)}&whole=1",
    )  # fmt: skip


def _none_of_two(here: ForAudience, verdict: Verdict, sides: str) -> tuple[str, str, str]:
    """What is said where no two changes turn anything: the answer, what was tried, and the heading."""
    pair, asked = (verdict.a, verdict.b), asked_words(value=verdict.says_value)
    how = f"{one_by_one(here.tried.get(pair, frozenset()))}, every two of them, for {asked}"
    if any((flip.a, flip.b) == pair for flip in here.flips):
        told = f"no two changes together turn more between {sides} than one alone would"
        return told, how, "No two changes together flip more than one would"
    told = f"no two changes together change {asked} between {sides}"
    return told, how, "No two changes together flip it either"


def _sides(pair: tuple[str, str], names: Names) -> str:
    return listed(tuple(names.setup(key) for key in pair if key))
