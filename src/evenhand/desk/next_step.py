"""What stands in a study and the one thing to do next, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.desk.barred import Barred, barred_tests, barred_words
from evenhand.desk.findings_now import findings_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.plan_on_record import plan_on_record
from evenhand.findings.finding import Finding, Outcome
from evenhand.findings.live_finding import LiveFinding, out_of_reach
from evenhand.publish.durations import about_long
from evenhand.publish.numbers import capital, count_word, counted, listed, number
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
    left aside. Of the files in the `inbox` nobody has said of `unclaimed` which study they are of.
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
    barred: tuple[Barred, ...] = ()
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """What stands now and what is next; `page` is where: a page of the study, or "inbox"."""

    now: str
    next: str
    label: str
    page: str


def next_step(record: StudyOnRecord) -> NextStep:
    """The next step of a study as it is on record."""
    return record.once("next step", lambda of: step_from(standing_of(of)))


def step_from(standing: Standing) -> NextStep:
    """The next step: what is missing first, then what waits, then what is open, then what is known."""
    for rule in (_unready, _unmeasured, _waits, _unsettled, _barred):
        step = rule(standing)
        if step is not None:
            return step
    tests = "The one test is settled." if standing.tests == 1 else _settled_words(standing)
    if standing.without:
        tests = f"{tests[:-1]}, without {listed(standing.without)}."
    return NextStep(
        now=tests if standing.planned else f"{tests[:-1]}, if these runs are all that were meant.",
        next="See what they say",
        label="Go to the comparison",
        page="compare",
    )


def _settled_words(standing: Standing) -> str:
    n = capital(count_word(standing.tests))
    return (
        "Both tests are settled."
        if standing.tests == 2
        else f"{n} of {count_word(standing.tests)} tests settled."
    )


def _unready(at: Standing) -> NextStep | None:
    if at.setups < 2:
        has = "no setup" if not at.setups else "one setup only"
        return NextStep(
            now=f"The study has {has}; a comparison needs two.",
            next="Say what is compared",
            label="Go to the builds",
            page="builds",
        )
    if not at.tests:
        return NextStep(
            now="The brief has no tests yet.",
            next="Say what is measured",
            label="Go to the brief",
            page="brief",
        )
    return None


def _unmeasured(at: Standing) -> NextStep | None:
    if at.runs:
        return None
    if at.inbox:
        return _inbox(at, "Nothing has been measured yet.")
    if at.planned:
        planned = counted(at.planned, "run is planned", "runs are planned")
        return NextStep(
            now=f"Nothing has been measured yet; {planned}, {about_long(at.minutes_left)}.",
            next="Make the first run",
            label="Go to the bench",
            page="bench",
        )
    return NextStep(
        now="Nothing has been measured yet.",
        next="Plan the bench day, or bring logs in",
        label="Go to the bench",
        page="bench",
    )


def _inbox(at: Standing, now: str) -> NextStep:
    files = counted(at.inbox, "file")
    return NextStep(
        now=f"{now} {capital(files)} {'waits' if at.inbox == 1 else 'wait'} in the inbox.",
        next=f"Say which run {'it is' if at.inbox == 1 else 'each is'}",
        label="Go to the inbox",
        page="inbox",
    )


def _waits(at: Standing) -> NextStep | None:
    """Runs first: they hold a finding back; then files of which nobody knows yet what they are."""
    now = f"{number(at.counting)} of {number(at.runs)} {'run counts' if at.runs == 1 else 'runs count'}."
    if at.waiting:
        one = at.waiting == 1
        return NextStep(
            now=f"{now} {capital(count_word(at.waiting))} {'waits' if one else 'wait'} for a decision.",
            next=f"Decide about {'it' if one else 'them'}",
            label=f"Look at the {'run' if one else 'runs'}",
            page="runs",
        )
    claimed = at.inbox - at.unclaimed
    if not (at.left or at.open):  # a study that waits for nothing more asks for its own files alone
        return _inbox(replace(at, inbox=claimed), now) if claimed else None
    return _inbox(at, now) if at.inbox else None


def _unsettled(at: Standing) -> NextStep | None:
    if not at.open:
        return None
    now = f"{_open_words(at)} {_would_settle(at.open) or _too_few(at.open)}".rstrip()
    if at.left:
        left = f"{number(at.left)} of {number(at.planned or 0)} planned ones are left"
        return NextStep(
            now=now,
            next=f"Make the next run; {left}, {about_long(at.minutes_left)}",
            label="Go to the bench",
            page="bench",
        )
    if any(one.more_runs or one.few for one in at.open):
        return NextStep(now=now, next="Plan the runs that are missing", label="Go to the bench", page="bench")
    return NextStep(now=now, next="See what they say", label="Go to the comparison", page="compare")


def _barred(at: Standing) -> NextStep | None:
    """Runs under other terms that nothing joins: no run under the same two would settle them."""
    if not at.barred:
        return None
    now, todo = barred_words(at.barred, at.tests), at.barred[0].todo
    return NextStep(now=now, next=todo, label="See what differs", page="causes")


def _open_words(at: Standing) -> str:
    n = len(at.open)
    if at.tests == 1:
        return "The one test is unsettled."
    if n == at.tests:
        return f"{'Both' if n == 2 else f'All {count_word(n)}'} tests are unsettled."
    return f"{capital(count_word(n))} of {count_word(at.tests)} tests {'is' if n == 1 else 'are'} unsettled."


def _too_few(unsettled: Sequence[Open]) -> str:
    few = [one.test for one in unsettled if one.few]
    return "A second run of each would show how runs scatter." if few else ""


def _would_settle(unsettled: Sequence[Open]) -> str:
    """What the nearest of them needs, or that none is within reach."""
    known = [one for one in unsettled if one.more_runs]
    if not known:
        return ""
    nearest = min(known, key=lambda one: (one.more_runs or 0, one.minutes or 0.0))
    runs = counted(nearest.more_runs or 0, "more run of each", "more runs of each")
    long = "" if nearest.minutes is None else f", {about_long(nearest.minutes)},"
    return f"{capital(runs)}{long} would settle {nearest.test}."


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


def _open(record: StudyOnRecord, findings: Sequence[Finding | LiveFinding]) -> tuple[Open, ...]:
    """The tests that are unsettled in some pair, with what the pair that needs most would need."""
    unsettled: dict[str, list[Finding | LiveFinding]] = {}
    for found in findings:
        if isinstance(found, Finding) and (is_refused(found) or not found.headline):
            continue
        if found.outcome is Outcome.UNSETTLED:
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
