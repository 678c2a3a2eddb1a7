"""Where a study stands, in the few facts that its next step follows from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.comparison.barred import Barred, barred_tests
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.finding import Finding, Outcome
from evenhand.findings.live_finding import LiveFinding, out_of_reach
from evenhand.publish.sentences import is_refused
from evenhand.records.runs import RunState

FEWEST = 2  # runs of a side that show a spread


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """An unsettled test: its name, and the runs of each setup and minutes that would settle it, if known.

    `few` says that a side of it has fewer than two runs, so that nothing shows yet how runs scatter.
    """

    test: str
    more_runs: int | None = None
    minutes: float | None = None
    few: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a study stands, in the few facts that the next step follows from.

    `planned` and `left` count the slots of the plan and those still to be run, `minutes_left` by the clock;
    None without a plan. `tests` are compared, `open` those that are unsettled in some pair, `barred` those of
    which some pair may form no ratio; `without` names the setups that the plan does without: their pairs are
    left aside. `pairs` counts the pairs that are unsettled in a test, and all that may be compared. Of the
    files in the `inbox` nobody has said of `unclaimed` which study they are of.
    """

    setups: int = 2
    tests: int = 1
    runs: int = 0
    counting: int = 0
    waiting: int = 0
    inbox: int = 0
    unclaimed: int = 0
    planned: int | None = None
    left: int = 0
    minutes_left: float = 0.0
    open: tuple[Open, ...] = ()
    pairs: tuple[int, int] = (0, 0)
    barred: tuple[Barred, ...] = ()
    without: tuple[str, ...] = ()


def standing_of(record: StudyOnRecord) -> Standing:
    """The facts. While a plan is followed, what is settled is judged at its declared looks alone."""
    plan, study = plan_on_record(record), record.study
    going_on = plan is not None and not plan.finished
    findings: tuple[Finding | LiveFinding, ...]
    dropped = plan.dropped if plan is not None else frozenset()
    if plan is not None and going_on:
        findings = tuple(f for f in plan.live.findings if not out_of_reach(f, plan.gone))
    else:
        findings = tuple(f for f in findings_now(record).findings if dropped.isdisjoint((f.a, f.b)))
    return Standing(
        pairs=_pairs(findings),
        setups=len(study.setups),
        tests=len(study.tests),
        runs=len(record.runs),
        counting=sum(each.state.counts for each in record.runs),
        waiting=sum(each.state is RunState.IN_DOUBT for each in record.runs),
        inbox=record.inbox,
        unclaimed=record.unclaimed,
        planned=len(plan.slots) if plan else None,
        left=len(plan.coming) if plan else 0,
        minutes_left=plan.minutes_left if plan else 0.0,
        open=_open(record, findings),
        barred=barred_tests(record, findings),
        without=tuple(names_of(record).setup(key) for key in study.setups if key in dropped),
    )


def _pairs(findings: Sequence[Finding | LiveFinding]) -> tuple[int, int]:
    """How many pairs are unsettled in a test, of how many that may be compared."""
    compared = [f for f in findings if _may_settle(f)]
    return sum(f.outcome is Outcome.UNSETTLED for f in compared), len(compared)


def _may_settle(found: Finding | LiveFinding) -> bool:
    return not isinstance(found, Finding) or (found.headline and not is_refused(found))


def _open(record: StudyOnRecord, findings: Sequence[Finding | LiveFinding]) -> tuple[Open, ...]:
    """The tests that are unsettled in some pair, with what the pair that needs most would need."""
    unsettled: dict[str, list[Finding | LiveFinding]] = {}
    for found in findings:
        if _may_settle(found) and found.outcome is Outcome.UNSETTLED:
            unsettled.setdefault(found.test, []).append(found)
    return tuple(_needs(record.tests[test].name, own) for test, own in unsettled.items())


def _needs(test: str, own: Sequence[Finding | LiveFinding]) -> Open:
    """None known where one pair of the test is out of reach."""
    if any(runs < FEWEST for found in own for runs in _runs(found)):
        return Open(test=test, few=True)
    settles = [found.settle for found in own]
    if any(settle is None or settle.more_runs is None for settle in settles):
        return Open(test=test)
    most = max((settle for settle in settles if settle), key=lambda settle: settle.more_runs or 0)
    return Open(test=test, more_runs=most.more_runs, minutes=most.minutes)


def _runs(found: Finding | LiveFinding) -> tuple[int, ...]:
    return (found.n_a, found.n_b) if isinstance(found, Finding) else (found.n,)
