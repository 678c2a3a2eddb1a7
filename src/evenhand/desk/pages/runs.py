"""The runs of a study: what waits, what was decided, and everything that landed clean."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.bench.masking import Mask, mask_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.run_cards import RunCard, card_of
from evenhand.desk.pages.run_rows import Column, RunRow, columns_of, in_sequence, row_of
from evenhand.desk.pages.undo import Done, done_of
from evenhand.desk.pages.wanted_runs import ALL, CLEAN, DECIDED, FAULTS, WAIT, Refused, Wanted, usual
from evenhand.desk.runs.run_notes import beside
from evenhand.desk.runs.stand_ins import stand_ins_that_do_not_count
from evenhand.desk.study.moments import Clock, as_stamped, clock_words
from evenhand.publish.numbers import capital, count_word, counted, number
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench
from evenhand.triage.unjudged import none_alike

CARDS, ROWS = 12, 50  # on one page


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """One way to see fewer runs, and how many it leaves."""

    words: str
    count: str
    address: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Leafing: the page before and after, "" where there is none, and where one is."""

    before: str
    after: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lists:
    """One page of each list, as far as it is wanted; `clean` counts all clean runs."""

    waits: tuple[RunCard, ...]
    decided: tuple[RunCard, ...]
    rows: tuple[RunRow, ...]
    columns: tuple[Column, ...]
    clean: str
    turn: Turn | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsPage:
    """Everything the page shows."""

    frame: Frame
    answer: str
    terms: str
    chips: tuple[Chip, ...]
    lists: Lists
    warnings: tuple[str, ...]
    masked: bool
    masking: str
    here: str
    live: str
    list: str
    done: Done | None = None
    refused: Refused | None = None
    apart: RunCard | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """How runs are shown: under which letters, where names are hidden, and by which clock.

    `noted` gives what is said beside a run in a few words though it is no fault, "" where nothing is.
    """

    mask: Mask | None
    clock: Clock
    noted: Callable[[RunOnRecord], str] = lambda _: ""

    def card(self, record: StudyOnRecord, each: RunOnRecord) -> RunCard:
        """One run shown so."""
        own = card_of(record, each, mask=self.mask, clock=self.clock)
        return replace(own, notes=self.noted(each))

    def row(self, record: StudyOnRecord, each: RunOnRecord) -> RunRow:
        """One clean run shown so."""
        return row_of(record, each, self.clock, noted=self.noted(each))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sorted:
    """The runs of a study by what is to be done about them."""

    waits: tuple[RunOnRecord, ...]
    decided: tuple[RunOnRecord, ...]
    clean: tuple[RunOnRecord, ...]


def runs_page(
    wb: Workbench,
    study: str,
    wanted: Wanted | None = None,
    *,
    refused: Refused | None = None,
    clock: Clock = as_stamped,
) -> RunsPage:
    """The runs of a study, times by this clock. Raises NotFound where there is no such study."""
    record, wanted = load_study(wb, study), usual(wanted or Wanted())
    by, mask = (
        record.once("sorted runs", sorted_runs),
        record.once("mask", mask_of) if wanted.masked else None,
    )
    shown = Shown(mask=mask, clock=clock, noted=beside(wb, record))
    page = RunsPage(
        frame=frame_of(record, "runs"),
        answer=answer_of(by, unlike=unlike_in(record, by.clean)),
        terms=MASKED_TERMS if mask else f"{TERMS} {clock_words(starts_of(record), clock)}".rstrip(),
        chips=tuple(chips_of(record, by, wanted)),
        lists=lists_of(record, by, wanted, shown),
        warnings=warnings_of(record, mask),
        masked=wanted.masked,
        masking=address(study, "runs") + replace(wanted, masked=not wanted.masked, page=1).query(),
        here=address(study, "runs") + wanted.query(),
        live=address(study, "runs") + wanted.query(done=True),
        list=address(study, "runs"),
        done=done_of(record, wanted.done, also=wanted.also, mask=mask),
    )
    return page if refused is None else with_refusal(page, record, refused, shown)


TERMS = (
    "Runs are judged against their siblings only, never by which build they help. Nothing is deleted; every "
    "file is kept as it came."
)
MASKED_TERMS = (
    "Names are hidden: a letter stands for each build, and decisions are marked as made so. Clean runs are "
    "not listed meanwhile, since their numbers would tell whose they are."
)


def starts_of(record: StudyOnRecord) -> list[datetime]:
    """When runs began, as far as they say."""
    return [each.run.started_at for each in record.runs if each.run.started_at is not None]


def sorted_runs(record: StudyOnRecord) -> Sorted:
    """Waiting and clean runs in order of arrival, decided ones with the latest decision first."""
    runs = record.runs
    decided = [r for r in runs if r.decision and r.state not in (RunState.IN_DOUBT, RunState.LANDED)]
    return Sorted(
        waits=tuple(r for r in runs if r.state is RunState.IN_DOUBT),
        decided=tuple(sorted(decided, key=decided_at, reverse=True)),
        clean=tuple(r for r in runs if r.state is RunState.LANDED),
    )


def decided_at(each: RunOnRecord) -> float:
    """When a run was last decided about, in seconds; long ago where it never was."""
    return each.decision.at.timestamp() if each.decision else 0.0


def unlike_in(record: StudyOnRecord, runs: Sequence[RunOnRecord]) -> int:
    """How many of these belong to takes that all differ, so that none could be held for it."""
    cells: dict[tuple[str, str], list[float | None]] = {}
    for each in runs:
        own = cells.setdefault((each.run.test, each.run.setup), [])
        own.append(each.headline(record.tests[each.run.test]))
    return sum(len(own) for own in cells.values() if none_alike(own))


def answer_of(by: Sorted, *, unlike: int = 0) -> str:
    """How many landed, how many are clean, and how many wait; `unlike` could not be judged by siblings.

    >>> answer_of(Sorted(waits=(), decided=(), clean=()))
    'No run has landed yet.'
    """
    waits, odd, clean = len(by.waits), len(by.waits) + len(by.decided), len(by.clean)
    if not odd + clean:
        return "No run has landed yet."
    landed = f"{capital(counted(odd + clean, 'run'))} landed"
    if not odd and unlike:
        which = "their takes" if unlike == clean else f"the takes of {count_word(unlike)}"
        return f"{landed}. None is held, but {which} differ too much among themselves to be judged."
    if not odd:
        return f"{landed}, and {'it is' if clean == 1 else 'all of them are'} clean."
    are = f"{capital(count_word(clean))} {'is' if clean == 1 else 'are'} clean"
    return f"{landed}. {are}; {_odd_ones(waits, odd)}."


def _odd_ones(waits: int, odd: int) -> str:
    """What became of the runs that are not clean."""
    others = "the other one" if odd == 1 else f"the other {count_word(odd)}"
    if not waits:
        return f"{others} {'has' if odd == 1 else 'have'} been decided about"
    if waits == odd:
        return f"{others} {'waits' if odd == 1 else 'wait'} for you"
    return f"of {others}, {count_word(waits)} {'waits' if waits == 1 else 'wait'} for you"


def chips_of(record: StudyOnRecord, by: Sorted, wanted: Wanted) -> list[Chip]:
    """The filters, each with its number."""
    counts = {
        ALL: ("All", len(record.runs)),
        FAULTS: ("Faults", len(by.waits) + len(by.decided)),
        WAIT: ("Wait for you", len(by.waits)),
        DECIDED: ("Decided", len(by.decided)),
        CLEAN: ("Clean", len(by.clean)),
    }
    return [
        Chip(
            words=words,
            count=number(count),
            address=address(record.study.key, "runs") + replace(wanted, show=show, page=1).query(),
            here=wanted.show == show,
        )
        for show, (words, count) in counts.items()
    ]


def lists_of(record: StudyOnRecord, by: Sorted, wanted: Wanted, shown: Shown) -> Lists:
    """The three lists as far as they are wanted, one page of them, and how to leaf on.

    Runs that wait come first: others begin on the page that holds the last of those.
    """
    waits = by.waits if wanted.show in (ALL, FAULTS, WAIT) else ()
    decided = by.decided if wanted.show in (ALL, FAULTS, DECIDED) else ()
    clean = by.clean if wanted.show in (ALL, CLEAN) and shown.mask is None else ()
    clean = in_sequence(clean, record, sort=wanted.sort, down=wanted.down)
    before = max(0, pages(waits, CARDS) - 1)
    last = max(1, before + max(pages(decided, CARDS), pages(clean, ROWS), 1))
    page = min(wanted.page, last)
    later = max(0, len(waits) - page * CARDS)
    own = address(record.study.key, "runs")
    return Lists(
        waits=cards_of(record, waits, shown, page=page),
        decided=cards_of(record, decided, shown, page=page - before),
        rows=tuple(shown.row(record, each) for each in leaf(clean, ROWS, page - before)),
        columns=tuple(
            columns_of(wanted.sort, down=wanted.down, leading=lambda **to: own + _sorted(wanted, **to))
        ),
        clean=counted(len(clean), "clean run"),
        turn=turn_of(record, replace(wanted, page=page), pages=last, later=later),
    )


def cards_of(
    record: StudyOnRecord, runs: Sequence[RunOnRecord], shown: Shown, *, page: int
) -> tuple[RunCard, ...]:
    """One page of these as cards; while names are hidden in an order that tells nothing of them."""
    mask = shown.mask
    if mask is not None:
        tests = list(record.tests)
        runs = sorted(runs, key=lambda r: (tests.index(r.run.test), mask.setups[r.run.setup], r.run.id))
    return tuple(shown.card(record, each) for each in leaf(runs, CARDS, page))


def _sorted(wanted: Wanted, *, sort: str, down: bool) -> str:
    return replace(wanted, sort=sort, down=down, page=1).query()


def pages(things: Sequence[object], size: int) -> int:
    """How many pages hold these."""
    return -(-len(things) // size)


def leaf(things: Sequence[RunOnRecord], size: int, page: int) -> Sequence[RunOnRecord]:
    """The things on one page; none on a page before the first."""
    return things[(page - 1) * size : page * size] if page > 0 else ()


def turn_of(record: StudyOnRecord, wanted: Wanted, *, pages: int, later: int) -> Turn | None:
    """Where one is and where to leaf on, with `later` runs that wait there; None where one page holds all."""
    if pages <= 1:
        return None
    own = address(record.study.key, "runs")
    page = wanted.page
    more = f"; {counted(later, 'more run')} {'waits' if later == 1 else 'wait'} on the next" if later else ""
    return Turn(
        before=own + replace(wanted, page=page - 1).query() if page > 1 else "",
        after=own + replace(wanted, page=page + 1).query() if page < pages else "",
        words=f"Page {number(page)} of {number(pages)}{more}",
    )


def warnings_of(record: StudyOnRecord, mask: Mask | None) -> tuple[str, ...]:
    """Runs that stay replaced by one that does not count."""
    told = stand_ins_that_do_not_count(record.runs).values()
    return tuple(words if mask is None else mask.told(words, mask.labels) for words in told)


def with_refusal(page: RunsPage, record: StudyOnRecord, refused: Refused, shown: Shown) -> RunsPage:
    """The page with a decision that was not stored: in the run's own card, which is put on top if need be."""
    if any(card.key == refused.key for card in (*page.lists.waits, *page.lists.decided)):
        return replace(page, refused=refused)
    keyed = {shown.card(record, each).key: each for each in record.runs}
    each = keyed.get(refused.key)
    return replace(page, refused=refused, apart=None if each is None else shown.card(record, each))
