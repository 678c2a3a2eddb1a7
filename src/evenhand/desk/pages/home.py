"""The first page: every study on the workbench with its answer and what is next, or three ways to begin."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.bench.hiding import names_hidden
from evenhand.desk.bench.next_step import next_step
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.bench.standing import standing_of
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.away import AwayCard, away_answer_words, away_card
from evenhand.desk.pages.compare_choice import pair_in_front, pairs_of
from evenhand.desk.pages.compare_rows import FindingRow, about_pair, row_of
from evenhand.desk.pages.frame import Strip, address, strip_of
from evenhand.desk.study.away import away_now, studies_at_hand
from evenhand.findings.finding import Comparison, Outcome
from evenhand.publish.figures.interval_rows import Pair, Row, all_rows
from evenhand.publish.figures.rows_for_pages import close_scale, empty_row
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, counted, listed, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.sentences import headline
from evenhand.publish.style import page as page_style
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench

BRIEF, UNMEASURED, DECIDE, UNSETTLED, SETTLED = (
    "still {lacks} its brief",
    "not measured yet",
    "{waits} for you",
    "unsettled",
    "settled",
)

HIDDEN = "Names are hidden until the plan is done."


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyCard:
    """One study in the list: whose, its row, what its tests say, what stands and what is next.

    `pair` names the two of several that the row is of, "" where there are no more.
    """

    title: str
    address: str
    builds: tuple[tuple[str, int], ...]
    size: str
    mini: Picture
    mini_words: str
    row: FindingRow | None
    said: str
    now: str
    pair: str
    strip: Strip
    bench: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePage:
    """The answer in a sentence, and the studies, the newest first. Without one: three ways to begin.

    `away` are those that are put away, the one put away last first.
    """

    answer: str
    studies: tuple[StudyCard, ...]
    inbox: int = 0
    away: tuple[AwayCard, ...] = ()


def home_page(wb: Workbench) -> HomePage:
    """Every study with its answer and what is next."""
    return wb.lately("home page", lambda: page_of(wb))


def first_bench(wb: Workbench) -> str:
    """Where a phone lands: the bench page of the newest study whose plan goes on, else of the newest one."""
    records = [load_study(wb, study.key) for study in studies_at_hand(wb)][::-1]
    going_on = [each for each in records if (plan := plan_on_record(each)) and not plan.finished]
    first = next(iter(going_on or records), None)
    return "/" if first is None else address(first.study.key, "bench")


def page_of(wb: Workbench) -> HomePage:
    """The page, worked out."""
    records = [load_study(wb, study.key) for study in studies_at_hand(wb)][::-1]
    away = [(load_study(wb, key), said) for key, said in reversed(away_now(wb).items())]
    stand = [where_of(record) for record in records]
    return HomePage(
        answer=answer_of(stand) if stand or not away else away_answer_words(len(away)),
        studies=tuple(map(study_card, records)),
        inbox=len(arrivals.waiting(wb)),
        away=tuple(away_card(record, said, size_of(record)) for record, said in away),
    )


def answer_of(stand: Sequence[str]) -> str:
    """What the page opens with.

    >>> answer_of([SETTLED])
    'One study, settled.'
    >>> answer_of([DECIDE])
    'One study waits for you.'
    >>> answer_of([SETTLED, DECIDE, UNSETTLED])
    'Three studies: one settled, one waits for you and one unsettled.'
    """
    if not stand:
        return "Nothing measured yet. Start with the question, or with the logs you already have."
    counts = {where: Counter(stand)[where] for where in (SETTLED, DECIDE, UNSETTLED, UNMEASURED, BRIEF)}
    told = [(_fitted(where, n), n) for where, n in counts.items() if n]
    many = capital(counted(len(stand), "study", "studies"))
    if len(stand) == 1:
        return f"{many}{' ' if stand[0] in (DECIDE, BRIEF) else ', '}{told[0][0]}."
    if len(told) == 1:
        return f"{many}, {'both' if len(stand) == 2 else 'all'} {told[0][0]}."
    return f"{many}: {listed(tuple(f'{count_word(n)} {where}' for where, n in told))}."


def _fitted(where: str, n: int) -> str:
    words = where.format(lacks="lacks" if n == 1 else "lack", waits="waits" if n == 1 else "wait")
    return words if n == 1 else words.replace("its brief", "their briefs")


def where_of(record: StudyOnRecord) -> str:
    """Where a study stands, in two or three words."""
    step, standing = next_step(record), standing_of(record)
    if step.page in ("brief", "builds"):
        return BRIEF
    if step.page in ("runs", "inbox"):
        return DECIDE
    if not standing.runs:
        return UNMEASURED
    return UNSETTLED if standing.open or standing.barred else SETTLED


def study_card(record: StudyOnRecord) -> StudyCard:
    """One study in the list, each of its builds with its slot."""
    comparison, names = findings_now(record), names_of(record)
    builds = dict.fromkeys(record.setups[key].build for key in record.study.setups)
    hidden = names_hidden(record)
    nothing = None, empty_row("Names are hidden")
    row, picture = nothing if hidden else mini_row(record, comparison, names)
    page = "bench" if hidden else "compare" if record.runs else "brief"
    return StudyCard(
        title=record.study.title,
        address=address(record.study.key, page),
        builds=tuple((record.builds[key].name, record.builds[key].slot) for key in builds),
        size=size_of(record),
        mini=picture,
        mini_words="no interval until the plan is done" if hidden else mini_words(row),
        row=row,
        said=HIDDEN if hidden else said_of(record, comparison, names),
        pair=pair_words(comparison, names) if row is not None and len(record.study.setups) > 2 else "",
        now="" if next_step(record).page == "compare" else next_step(record).now,
        strip=strip_of(record),
        bench=address(record.study.key, "bench"),
    )


def pair_words(comparison: Comparison, names: Names) -> str:
    """Both of the pair in front, by name."""
    return listed(tuple(names.setup(key) for key in pair_in_front(comparison)))


def mini_words(row: FindingRow | None) -> str:
    """The interval below the small picture, with its unit."""
    if row is None:
        return "no interval yet"
    return with_unit(row.interval, "%") if row.slot else row.interval


def size_of(record: StudyOnRecord) -> str:
    """How much there is: "138 runs, nine tests"."""
    runs, tests = len(record.runs), len(record.study.tests)
    many = "no runs yet" if not runs else f"{number(runs)} {'run' if runs == 1 else 'runs'}"
    return f"{many}, {counted(tests, 'test')}"


def said_of(record: StudyOnRecord, comparison: Comparison, names: Names) -> str:
    """What the tests of the pair in front say, in a few words; the question before there is a run."""
    pairs = pairs_of(comparison)
    if not pairs or not record.runs:
        return record.study.question
    own = [f for f in comparison.findings if f.headline and (f.a, f.b) == pair_in_front(comparison)]
    unsettled = all(f.outcome is Outcome.UNSETTLED for f in own)
    return "" if unsettled else f"{headline(own, names)}."


def mini_row(
    record: StudyOnRecord, comparison: Comparison, names: Names
) -> tuple[FindingRow | None, Picture]:
    """The pair in front over all its tests, or in its one test, between the two posts."""
    pairs = pairs_of(comparison)
    about = about_pair(comparison, pair_in_front(comparison) if pairs else ("", ""), names)
    row = first_row(comparison, about) if pairs and record.runs else None
    if row is None or row.span is None:
        return None, empty_row("No interval yet")
    made = row_of(row, about, close_scale(row, about.margin), key=record.study.key)
    return made, made.picture


def first_row(comparison: Comparison, about: Pair) -> Row | None:
    """The index over all tests, else the first test."""
    own = [f for f in comparison.findings if f.headline and (f.a, f.b) == (about.a, about.b)]
    tests, sums = all_rows(own, comparison, about, page_style(), with_indexes=True)
    return next((row for row in sums if row.overall), tests[0] if tests else None)
