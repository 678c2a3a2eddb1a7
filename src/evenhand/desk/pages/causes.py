"""The causes page: what may be said about which part, and which swap would let one say more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from urllib.parse import urlencode

from evenhand.desk.comparison.exchanging import unwritten
from evenhand.desk.comparison.explaining import Explained, Pair, chosen_pair, explained
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.causes_rows import CauseRows, cause_rows, told_of
from evenhand.desk.pages.causes_tables import (
    DiffersPart,
    LimitRow,
    RefusedLine,
    SwapPart,
    TunedPart,
    differs_part,
    limit_rows,
    refused_lines,
    swap_parts,
    tuned_parts,
)
from evenhand.desk.pages.causes_time import TimePart, time_part
from evenhand.desk.pages.compare import PairChip
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.findings.cause import Sort, Standing
from evenhand.findings.fairness import NO_PARTS, NOTHING_DIFFERS
from evenhand.findings.squares import ONE_ORDER, SWAP_OTHERWISE
from evenhand.findings.unlikes import Mark
from evenhand.publish.cause_words import causes_answer
from evenhand.publish.doubt_words import but_doubted
from evenhand.publish.numbers import capital, level_words, listed
from evenhand.publish.swap_words import CAUTION, exchanges_parts
from evenhand.store.workbench import Workbench

NOTHING = "Nothing has been measured yet, so nothing can be said of any part."
NONE_COUNTS = "In no test does a run of both count, so nothing can be said of any part."
ALONE = "One setup alone: with nothing to hold against it no part can be named as a cause."
OWN_SPREAD = (
    "Spread is drawn here from every setup with runs of a test, in Compare from the two alone: of one "
    "difference the two may tell slightly different intervals."
)
NO_SWAP = "No parts changed together, so no swap is needed."


@dataclass(frozen=True, slots=True, kw_only=True)
class CausesPage:
    """Everything the page shows, in its order; without `differs` there are no two setups to hold together."""

    frame: Frame
    answer: str
    terms: str = ""
    lead: str = ""
    pairs: tuple[PairChip, ...] = ()
    sides: tuple[str, str] = ("", "")
    level: str = ""
    rows: CauseRows | None = None
    spread: str = ""
    differs: DiffersPart | None = None
    refused: tuple[RefusedLine, ...] = ()
    first: str = ""
    swaps: tuple[SwapPart, ...] = ()
    no_swaps: str = ""
    caution: str = ""
    limits: tuple[LimitRow, ...] = ()
    limits_shown: bool = False
    tuned: tuple[TunedPart, ...] = ()
    time: TimePart | None = None
    builds_address: str = ""


def causes_page(wb: Workbench, study: str, pair: str = "") -> CausesPage:
    """Causes of a pair ("a~b"; the pair in front where none is asked). Raises NotFound, BadRecord."""
    record = load_study(wb, study)
    asked = tuple(pair.split("~")) if pair else ()
    frame, builds = frame_of(record, "causes"), address(study, "builds")
    if not asked and len(record.study.setups) < 2:
        answer = ALONE if record.study.setups else NOTHING
        return CausesPage(frame=frame, answer=answer, lead=frame.strip.next, builds_address=builds)
    return page_of(explained(wb, record, chosen_pair(record, asked)))


def page_of(found: Explained) -> CausesPage:
    """The page of a pair."""
    study = found.record.study.key
    frame, builds = frame_of(found.record, "causes"), address(study, "builds")
    told, limits = told_of(found), limit_rows(found, told_of(found))
    swaps = swap_parts(found, told)
    names = found.names
    return CausesPage(
        frame=frame, answer=answer_of(found), terms=" ".join(names.terms_told),
        pairs=pair_chips(found.record, (found.a, found.b)),
        sides=(names.setup(found.a), names.setup(found.b)),
        level=level_words(next((c.effect.level for c in found.causes if c.effect), 0.95)),
        rows=cause_rows(found), spread=spread_words(found),
        differs=differs_part(found, told), refused=refused_lines(found, told),
        first=write_down(found), swaps=swaps,
        caution=CAUTION if any(exchanges_parts(each.plan) for each in found.swaps) else "",
        no_swaps="" if swaps else no_swaps(found), limits=limits,
        limits_shown=any(each.tells for each in found.limits), tuned=tuned_parts(found, told),
        time=time_part(found), builds_address=builds,
    )  # fmt: skip


def answer_of(found: Explained) -> str:
    """What may be said about which part, as the page and the command line open."""
    if found.a == found.b:
        return f"{found.names.setup(found.a)} is held against itself: whatever differs is chance."
    blank = without_parts(found)
    if blank and not any(c.standing is Standing.SHOWN for c in found.causes):
        return f"No part can be named: what is in {listed(blank)} is not on record."
    alike = next((c for c in found.differs.caveats if c.key == NOTHING_DIFFERS), None)
    if alike is not None:
        return f"No part is named: {alike.told(found.names.setup, found.names.test)}."
    if found.causes and all(c.standing is Standing.NOT_MEASURED for c in found.causes):
        return NONE_COUNTS if found.record.runs else NOTHING
    if not any(c.changes for c in found.causes if c.sort is Sort.EFFECT) and not found.refused:
        return "No part differs in what was measured."
    return " ".join([causes_answer(found.causes, told_of(found)), *_lost_swaps(found), *_doubts(found)])


def spread_words(found: Explained) -> str:
    """Why Compare may tell another interval of the same difference; "" where only the two have runs."""
    counting = {each.run.setup for each in found.record.runs if each.state.counts}
    told = any(c.effect is not None and set(c.weights) == {found.a, found.b} for c in found.causes)
    return OWN_SPREAD if told and counting - {found.a, found.b} else ""


def _lost_swaps(found: Explained) -> Iterator[str]:
    """The swaps on record that tell nothing, since they were measured otherwise than the two."""
    lost = dict.fromkeys(c for cause in found.causes for c in cause.caveats if c.key == SWAP_OTHERWISE)
    yield from (f"{capital(each.told(found.names.setup, found.names.test))}." for each in lost)


def _doubts(found: Explained) -> tuple[str, ...]:
    """Which setups the answer takes for what they were not."""
    caveats = [c for cause in found.causes if cause.effect for c in cause.effect.caveats]
    return but_doubted(caveats, found.names)


def without_parts(found: Explained) -> tuple[str, ...]:
    """Which of two builds list no parts; nobody where both setups are of one build."""
    if len({found.record.setups[setup].build for setup in (found.a, found.b)}) == 1:
        return ()
    blank = dict.fromkeys(s for c in found.differs.caveats if c.key == NO_PARTS for s in c.setups)
    return tuple(found.names.setup(setup) for setup in blank)


def no_swaps(found: Explained) -> str:
    """Why no swap is proposed, and what would have to be there."""
    if blank := without_parts(found):
        return (
            f"Write down the parts of {listed(blank)} first, on the page Builds or as `parts` of the build "
            "in study.toml: a swap exchanges parts that have a name."
        )
    if first := write_down(found):
        return first
    if any(cause.standing is Standing.REFUSED for cause in found.causes):
        return "Measure both under the same terms first: where two tests differ, no swap tells parts apart."
    if found.causes and not any(cause.effect for cause in found.causes):
        return "Once runs of both setups count, this place names the swap that would tell their parts apart."
    unread = any(cause.standing is Standing.UNREAD for cause in found.causes)
    if unread:
        return "Write down what is not on record first: a swap needs to be named."
    shown = [cause for cause in found.causes if cause.standing is Standing.SHOWN]
    untold = [c for cause in shown for c in cause.caveats if c.key == ONE_ORDER]
    said = dict.fromkeys(capital(c.told(found.names.setup, found.names.test)) for c in untold)
    return " ".join([NO_SWAP, *(f"{each}." for each in said)])


def write_down(found: Explained) -> str:
    """What is to be written down before any swap, of whom; "" where nothing that changed is unknown."""
    if without_parts(found):
        return ""
    unknown = {name for cause in found.causes if cause.sort is Sort.EFFECT for name in unwritten(cause)}
    of: dict[str, list[str]] = {}
    for unlike in found.differs.marked(Mark.UNREAD):
        for setup in unlike.lacking if unlike.name in unknown else ():
            of.setdefault(found.names.setup(setup), []).append(unlike.name)
    if not of:
        return ""
    what = listed(tuple(f"{listed(tuple(names))} of {setup}" for setup, names in of.items()))
    return (
        f"Write down first what is not on record: {what}, on the page Builds or in study.toml. Where it "
        "turns out alike it changed nothing, and perhaps no swap is needed; what has no name cannot be "
        "exchanged."
    )


def pair_chips(record: StudyOnRecord, here: Pair) -> tuple[PairChip, ...]:
    """Every two setups that are compared, and the pair that is looked at."""
    names, study = names_of(record), record.study.key
    pairs = dict.fromkeys((*combinations(record.study.setups, 2), here))
    if (here[1], here[0]) in pairs:
        del pairs[here]
    return tuple(
        PairChip(
            sides=tuple((names.setup(key), names.slot(key).number) for key in each),
            address=f"{address(study, 'causes')}?{urlencode({'pair': '~'.join(each)})}",
            here=set(each) == set(here),
        )
        for each in pairs
    )
