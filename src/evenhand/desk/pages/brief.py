"""The brief: the question, for whom, what decides it, and what was fixed before data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.brief_words import (
    answer_of,
    fixed_at,
    fixed_words,
    lead_of,
    run_before,
    tests_said,
    weights_said,
)
from evenhand.desk.pages.done import Done, done_of
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.pages.margin import Posts, posts_of, step_of
from evenhand.desk.study.metric_checks import rankable_keys
from evenhand.desk.study.shelving import version_of
from evenhand.desk.study.terms import changed_terms
from evenhand.desk.study.used_by import tests_of
from evenhand.metrics.definitions import definition
from evenhand.publish.numbers import capital, margin_words, number, with_unit
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

NOT_SAID = "not said yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One thing that is written down; `open` where it is not yet."""

    label: str
    words: str
    open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TestRow:
    """One test as the brief shows it."""

    __test__ = False  # tells pytest that this is not a test of ours

    key: str
    name: str
    number: str
    meaning: str
    facts: tuple[Fact, ...]
    step: str
    runs: int
    seen: int
    shared: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefPage:
    """What the page shows. `seen` is the number of the study's last change."""

    frame: Frame
    answer: str
    lead: str
    study: Study
    seen: int
    question: tuple[Fact, ...]
    terms: tuple[Fact, ...]
    posts: Posts
    tests: tuple[TestRow, ...]
    tests_said: str
    weights_said: str
    runs: int
    elsewhere: tuple[tuple[str, str], ...]
    fixed: str
    changed: tuple[str, ...]
    done: Done | None


def brief_page(wb: Workbench, study: str, *, done: int | None = None) -> BriefPage:
    """The brief of a study; `done` is the number of a change that was just made. Raises NotFound."""
    record = load_study(wb, study)
    page = wb.lately(("brief page", study), lambda: page_now(wb, record))
    return page if done is None else replace(page, done=done_of(wb, record, done))


def page_now(wb: Workbench, record: StudyOnRecord) -> BriefPage:
    """The brief as it stands."""
    with wb.reading():  # one view of the file for all that the page asks
        return page_of(wb, record)


def page_of(wb: Workbench, record: StudyOnRecord) -> BriefPage:
    """What is read for it."""
    changed = tuple(each.words for each in changed_terms(wb, record))
    fixed = fixed_at(wb, record)
    return BriefPage(
        frame=frame_of(record, "brief"),
        answer=answer_of(record, fixed, len(changed)),
        lead=lead_of(record.study),
        study=record.study,
        seen=version_of(wb, record.study),
        question=tuple(question_facts(record.study)),
        terms=tuple(term_facts(record.study)),
        posts=posts_of(record),
        tests=test_rows(wb, record),
        tests_said=tests_said(record),
        weights_said=weights_said(record.study),
        runs=len(record.runs),
        elsewhere=tests_elsewhere(wb, record.study),
        fixed=fixed_words(fixed, run_before(record, fixed)),
        changed=changed,
        done=None,
    )


def question_facts(study: Study) -> Iterator[Fact]:
    """The question, and for whom."""
    told = (
        ("Question", study.question),
        ("Audience", study.audience),
        ("Budget, and what is inside it", study.budget),
        ("Name of the study", study.title),
    )
    for label, words in told:
        yield Fact(label=label, words=words or NOT_SAID, open=not words)


def term_facts(study: Study) -> Iterator[Fact]:
    """The limits within which differences are judged."""
    yield Fact(label="Smallest difference that matters", words=margin_words(study.margin))
    allowance = with_unit(f"{100 * study.boot_allowance:.4g}", "%")
    yield Fact(label="Error that runs of one boot may share", words=allowance)
    if study.ambient_c is None:
        yield Fact(label="Room", words="any temperature", open=True)
    else:
        low, high = study.ambient_c
        yield Fact(label="Room", words=with_unit(f"{low:g} to {high:g}", "°C"))


def test_rows(wb: Workbench, record: StudyOnRecord) -> tuple[TestRow, ...]:
    """The study's tests in its order."""
    others = [study for study in shelves.every(wb, Study) if study.key != record.study.key]
    used = {study.title: tests_of(wb, study) for study in others}
    return tuple(
        test_row(wb, record, test, shared=tuple(title for title, keys in used.items() if test.key in keys))
        for test in record.compared_tests
    )


def test_row(wb: Workbench, record: StudyOnRecord, test: Test, *, shared: tuple[str, ...]) -> TestRow:
    """One test with what it is judged by and what must be alike; `shared` names other studies that use it."""
    runs = sum(each.run.test == test.key for each in record.runs)
    return TestRow(
        key=test.key,
        name=test.name,
        number=number_words(test),
        meaning=definition(test.metric).meaning,
        facts=tuple(test_facts(record.study, test)),
        step=step_of(record, test),
        runs=runs,
        seen=version_of(wb, test),
        shared=shared,
    )


def number_words(test: Test) -> str:
    """What is compared, in which unit, and which way is better."""
    also = "".join(f", and {definition(key).label}" for key in test.also)
    label = "score" if test.measures is Measures.SCORE else definition(test.metric).label
    return f"{capital(label)}{also}, in {test.unit}; {test.direction} is better"


def test_facts(study: Study, test: Test) -> Iterator[Fact]:
    """Why the test is there and what every run of it must share; only what is on record."""
    told = (
        ("Leans on", ", ".join(test.stresses)),
        ("Scene", test.scene),
        ("Version", test.version),
        ("Alike in every run", ", ".join(f"{name} {value}" for name, value in test.settings.items())),
        ("Group", test.group),
        ("Held on purpose", with_unit(f"{test.locked_fps:g}", "fps") if test.locked_fps else ""),
        ("Length", "a result itself" if test.free_length else ""),
        ("One run takes", with_unit(f"{test.minutes:g}", "min") if test.minutes else ""),
        *script_told(test),
        ("Weight", number(study.weights[test.key], 2) if test.key in study.weights else ""),
    )
    return (Fact(label=label, words=words) for label, words in told if words)


def script_told(test: Test) -> Iterator[tuple[str, str]]:
    """How a rig runs the test by itself: the command, where its number comes from, and its limits."""
    if (script := test.script) is None:
        return
    yield "Command on a rig", script.command
    yield "Pattern of the score", script.score or "none: the seconds that the command takes"
    yield "Folder on the rig", script.folder or "the one in which the rig program was started"
    yield "Warm-up runs", number(script.warm_up)
    yield "Ended after", with_unit(f"{script.timeout_s:,g}", "s")


def tests_elsewhere(wb: Workbench, study: Study) -> tuple[tuple[str, str], ...]:
    """Tests on the workbench that the study does not have, by key and name."""
    return tuple((test.key, test.name) for test in shelves.every(wb, Test) if test.key not in study.tests)


def metric_choices() -> tuple[tuple[str, str, str], ...]:
    """What a test of frames may be judged by: key, label, definition."""
    found = (definition(key) for key in rankable_keys(Measures.FRAMES))
    return tuple((each.key, capital(each.label), each.meaning) for each in found)
