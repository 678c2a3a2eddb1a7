"""Every run that was left out, and what the study would say with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.comparison.findings_now import comparison_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.pages.compare_choice import Asked, choose
from evenhand.desk.pages.compare_rows import Rows, about_pair, let_in_rows
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.findings.finding import Exclusion
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.left_out import conditions_sentence, exclusion_sentence, why_left_out
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, level_words, run_words
from evenhand.records.runs import Reason
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """One run: whose, which, why, what it would change in words, and its row without and with it."""

    slot: int
    label: str
    address: str
    why: str
    value: str
    sentence: str
    rows: Rows | None = None
    elsewhere: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutPage:
    """All of them; `back` leads to the comparison."""

    frame: Frame
    answer: str
    level: str
    back: str
    runs: tuple[LeftOut, ...]


def left_out_page(wb: Workbench, study: str, asked: Asked) -> LeftOutPage:
    """What was left out, seen from the chosen pair."""
    record = load_study(wb, study)
    return wb.lately(("left out", study, asked.pair), lambda: page_of(record, asked))


def page_of(record: StudyOnRecord, asked: Asked) -> LeftOutPage:
    """The page; those that bear on the chosen pair first."""
    comparison, names = comparison_now(record), names_of(record)
    choice = choose(record, comparison, asked)
    about = about_pair(comparison, choice.pair if choice else ("", ""), names)
    told = sorted(comparison.exclusions, key=lambda e: e.setup not in (about.a, about.b))
    n = len(told)
    return LeftOutPage(
        frame=frame_of(record, "compare"),
        answer=answer_of(n),
        level=level_words(about.level),
        back=choice.address if choice else address(record.study.key, "compare"),
        runs=tuple(left_out_runs(record, told, about, names)),
    )


def answer_of(n: int) -> str:
    """What the page opens with, where so many runs were left out.

    >>> answer_of(0), answer_of(1)
    ('No run was left out.', 'One run was left out; this is what it would change.')
    """
    if not n:
        return "No run was left out."
    each = "it" if n == 1 else "each"
    return f"{capital(counted(n, 'run was', 'runs were'))} left out; this is what {each} would change."


def left_out_runs(
    record: StudyOnRecord, told: list[Exclusion], about: Pair, names: Names
) -> Iterator[LeftOut]:
    """Each run in words, with rows where it bears on the pair."""
    comparison = comparison_now(record)
    for exclusion in told:
        each = record.run(exclusion.run)
        decision = each.decision
        yield LeftOut(
            slot=names.slot(exclusion.setup).number,
            label=each.run.label,
            address=address(record.study.key, "runs", each.run.id),
            why=why_left_out(
                each.state,
                decision.reason if decision else None,
                masked=decision is not None and decision.masked,
            ),
            value=run_words(exclusion.value, names.unit(exclusion.test)),
            sentence=sentence_of(exclusion, names, record.study.margin),
            rows=let_in_rows(exclusion, comparison, about),
            elsewhere=elsewhere(each, exclusion, names),
        )


def sentence_of(exclusion: Exclusion, names: Names, margin: float) -> str:
    """What the run would change, without naming it again: its own line does."""
    said = exclusion_sentence(exclusion, names, margin=margin)
    told = said.partition(". With it ")[2]
    return f"With it {told}" if told else "With it no figure would change."


def elsewhere(each: RunOnRecord, exclusion: Exclusion, names: Names) -> str:
    """What a run set aside for its conditions did there, which is a result of its own."""
    if each.decision is None or each.decision.reason is not Reason.OTHER_CONDITIONS:
        return ""
    return conditions_sentence(each.run, exclusion.value, each.faults, names)
