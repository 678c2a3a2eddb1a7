"""The comparison page: the answer, the pair row by row, the index, what stands behind a row, reservations."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.comparison.comparing import earlier_words, not_standing_in
from evenhand.desk.comparison.findings_now import findings_now, left_out
from evenhand.desk.comparison.study_notes import study_notes
from evenhand.desk.logs.same_file import same_files
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.compare_behind import Behind, behind, rates_now
from evenhand.desk.pages.compare_choice import Asked, Choice, choose, pairs_of
from evenhand.desk.pages.compare_rows import IndexRows, Rows, about_pair, index_rows, test_rows
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.study.terms import changed_terms
from evenhand.findings.finding import Comparison, Finding, Index
from evenhand.publish.answer import answer
from evenhand.publish.details import metric_label
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, level_words, listed, number
from evenhand.publish.reservations import caveats
from evenhand.publish.sentences import index_sentence, why_no_ratio
from evenhand.records.tests import Direction
from evenhand.store.workbench import Workbench

NOTHING = "Nothing has been measured yet. What is set already is how much matters."


@dataclass(frozen=True, slots=True, kw_only=True)
class PairChip:
    """A pair that may be chosen: both names with their slots."""

    sides: tuple[tuple[str, int], ...]
    address: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MetricChip:
    """A number that may be chosen."""

    name: str
    address: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparePage:
    """Everything the page shows, in its order. `rows` is None where no two setups are compared."""

    frame: Frame
    answer: str
    terms: str = ""
    whole: str = ""
    lead: str = ""
    measured: bool = False
    so_far: str = ""
    pairs: tuple[PairChip, ...] = ()
    metrics: tuple[MetricChip, ...] = ()
    rows: Rows | None = None
    level: str = ""
    index: IndexRows | None = None
    index_words: tuple[str, ...] = ()
    behind: Behind | None = None
    laid_over: str = ""
    left_out: int = 0
    left_out_address: str = ""
    cards_address: str = ""
    findings_address: str = ""
    notes: tuple[str, ...] = ()
    reservations: tuple[str, ...] = ()


def compare_page(wb: Workbench, study: str, asked: Asked) -> ComparePage:
    """The comparison of a study. Raises NotFound where the study or what is asked for is not there."""
    record = load_study(wb, study)
    comparison = findings_now(record)
    choice = choose(record, comparison, asked)
    if choice is None:
        return nothing_to_compare(record)
    return wb.lately(("compare page", choice), lambda: page_of(wb, record, comparison, choice))


def nothing_to_compare(record: StudyOnRecord) -> ComparePage:
    """The page of a study with fewer than two setups, or without a test."""
    setups = len(record.study.setups)
    if setups < 2:
        has = "none" if not setups else "one"
        said, lead = f"A comparison needs two setups; this study names {has}.", "Name the setups first."
    else:
        said, lead = (
            "A comparison needs a test; the brief names none.",
            "Choose the tests in the brief first.",
        )
    return ComparePage(frame=frame_of(record, "compare"), answer=said, lead=lead)


def page_of(wb: Workbench, record: StudyOnRecord, comparison: Comparison, choice: Choice) -> ComparePage:
    """The page of one choice."""
    names, key = names_of(record), record.study.key
    findings = [f for f in comparison.findings if choice.of(f)]
    indexes = [] if choice.metric else [i for i in comparison.indexes if (i.a, i.b) == choice.pair]
    about = about_pair(comparison, choice.pair, names)
    measured = any(f.ratio is not None for f in findings)
    shown = behind(record, comparison, choice)
    return ComparePage(
        frame=frame_of(record, "compare"),
        answer=answer_of(comparison, findings, indexes, names)
        if measured
        else why_no_ratio(findings, names) or not_measured(record, names, choice),
        terms=terms_line(record, comparison, findings, names),
        whole=whole_answer(record, comparison, names),
        measured=measured,
        so_far=so_far(record),
        pairs=pair_chips(comparison, choice, names),
        metrics=metric_chips(comparison, choice),
        rows=opened(test_rows(findings, comparison, about, rates_now(record, choice.metric)), choice),
        level=level_words(about.level),
        index=index_rows(indexes, comparison, about) if measured else None,
        index_words=tuple(index_sentence(i, names, margin=comparison.margin) for i in indexes),
        behind=shown,
        laid_over=laid_over_address(record, choice) if shown else "",
        left_out=sum(1 for _ in left_out(record)),
        left_out_address=f"{address(key, 'compare', 'left-out')}?pair={'~'.join(choice.pair)}",
        cards_address=f"{address(key, 'compare', 'cards')}?pair={'~'.join(choice.pair)}",
        findings_address=f"/api/studies/{key}/findings",
        notes=tuple(f"{note.title}. {note.evidence} {note.todo}" for note in study_notes(record)),
        reservations=reservations(wb, record, [*findings, *indexes], names),
    )


def answer_of(comparison: Comparison, findings: list[Finding], indexes: list[Index], names: Names) -> str:
    """What the chosen pair's chosen numbers say, in a sentence."""
    told = tuple(replace(f, headline=True) for f in findings)
    said = answer(replace(comparison, findings=told, indexes=tuple(indexes)), names)
    return said if findings[0].headline else f"{capital(metric_label(findings[0].metric))}: {said}"


def not_measured(record: StudyOnRecord, names: Names, choice: Choice) -> str:
    """What is said of a pair without a single number on both sides."""
    if not record.runs:
        return NOTHING
    a, b = map(names.setup, choice.pair)
    return f"{a} and {b} have no test yet in which a run of each counts."


def so_far(record: StudyOnRecord) -> str:
    """What is said while a plan is followed: intervals below count no look in between."""
    plan = plan_on_record(record)
    if plan is None or plan.finished:
        return ""
    looks = listed(tuple(number(n) for n in plan.plan.looks))
    return (
        f"Measuring goes on: {number(len(plan.coming))} planned runs are left. These intervals count no look "
        f"before the end; the bench says what may be said at the declared looks, {looks} runs of each."
    )


def whole_answer(record: StudyOnRecord, comparison: Comparison, names: Names) -> str:
    """What all pairs together say, where there are more than one."""
    several = len(pairs_of(comparison)) > 1 and record.runs
    return answer(comparison, names) if several else ""


def terms_line(record: StudyOnRecord, comparison: Comparison, findings: list[Finding], names: Names) -> str:
    """What the numbers are, under which conditions, and what the intervals count."""
    metrics = tuple(dict.fromkeys(metric_label(f.metric) for f in findings))
    conditions = [
        capital(listed(metrics)),
        *([names.terms[:1].lower() + names.terms[1:]] if names.terms else []),
    ]
    measured = f" {names.measured[0]}" if names.measured else ""
    a, b = names.setup(findings[0].a), names.setup(findings[0].b)
    family = sum(f.p is not None for f in comparison.findings)
    counted_in = f", all {number(family)} findings counted as one family" if family > 1 else ""
    over = f"ratio of {a} to {b}, {level_words(findings[0].level)} intervals{counted_in}"
    return f"{', '.join(conditions)}; {over}.{measured} {directions(record, findings, names)}"


def directions(record: StudyOnRecord, findings: list[Finding], names: Names) -> str:
    """Which way is better, where that is not the same in every test."""
    tests = dict.fromkeys(f.test for f in findings if f.headline)
    if not tests:
        return "Higher is better."
    lower = tuple(names.test(t) for t in tests if record.tests[t].direction is Direction.LOWER)
    if not lower:
        return "Higher is better in every test."
    where = "every test" if len(lower) == len(tests) else listed(lower)
    first = names.setup(findings[0].a)
    return f"Lower is better in {where}; right of the middle {first} is better in every row."


def pair_chips(comparison: Comparison, choice: Choice, names: Names) -> tuple[PairChip, ...]:
    """Every pair; a single one needs no choosing."""
    pairs = pairs_of(comparison)
    return tuple(
        PairChip(
            sides=tuple((names.setup(key), names.slot(key).number) for key in pair),
            address=replace(choice, pair=pair).address,
            here=pair == choice.pair,
        )
        for pair in pairs
    )


def metric_chips(comparison: Comparison, choice: Choice) -> tuple[MetricChip, ...]:
    """The headline numbers, and each further one that is compared; none where there is no further one."""
    further = dict.fromkeys(f.metric for f in comparison.findings if not f.headline)
    named = {"": "Headline numbers", **{key: capital(metric_label(key)) for key in further}}
    return tuple(
        MetricChip(
            name=name,
            address=replace(choice, metric=key, test="").address,
            here=key == choice.metric,
        )
        for key, name in named.items()
        if further
    )


def opened(rows: Rows, choice: Choice) -> Rows:
    """The rows with the address that opens each, and the one that is open."""
    made = (
        replace(row, address=f"{replace(choice, test=row.key).address}#behind", here=row.key == choice.test)
        for row in rows.rows
    )
    return replace(rows, rows=tuple(made))


def laid_over_address(record: StudyOnRecord, choice: Choice) -> str:
    """Where the scene of the opened test is laid over itself; "" where it leaves no frames."""
    if record.tests[choice.test].measures.value != "frames":
        return ""
    part = address(record.study.key, "compare", "laid-over")
    return f"{part}?pair={'~'.join(choice.pair)}&test={choice.test}"


def reservations(
    wb: Workbench, record: StudyOnRecord, found: list[Finding | Index], names: Names
) -> tuple[str, ...]:
    """What must be known with these findings, each once."""
    with wb.reading():
        changed = [term.words for term in changed_terms(wb, record)]
        earlier = [*earlier_words(wb, record), *not_standing_in(record), *same_files(wb, record)]
    return (*changed, *earlier, *caveats(found, names))
