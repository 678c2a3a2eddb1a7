"""What stands in a study and the one thing to do next, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.desk.bench.standing import Open, Standing, standing_of
from evenhand.desk.comparison.barred import barred_words
from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.durations import about_long
from evenhand.publish.numbers import capital, count_word, counted, how_many_tests, listed, number

FEWEST = 2  # runs of a side that show a spread


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
    n, (pairs, of) = len(at.open), at.pairs
    if 0 < pairs < of and at.setups > 2:  # a test of ten pairs is not unsettled because one of them is
        are = f"comparisons {'is' if pairs == 1 else 'are'} unsettled"
        return f"{capital(count_word(pairs))} of {number(of)} {are}, in {how_many_tests(n, at.tests)}."
    return f"{capital(how_many_tests(n, at.tests))} {'is' if n == 1 else 'are'} unsettled."


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
