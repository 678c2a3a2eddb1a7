"""Findings in words: the headline, and one sentence for each finding and index.

Four words say how two setups stand: ahead, behind, level, unsettled. Level says the bound it was
measured against, and shows the interval that was held against it; all else shows its confidence
interval, and a lead whose interval reaches below the margin says so. Unsettled says why, and what
would settle it. Percentages are always of the second setup: "Plover is behind Dunlin by 14.7 %" means
Plover reaches 14.7 % less than Dunlin. Since verdicts tell of whoever is in front, both are said there: "so
Dunlin is ahead by 17.2 %".
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from evenhand.findings.drifting import DRIFTS
from evenhand.findings.finding import Caveat, Finding, Index, LeftOut, Outcome
from evenhand.findings.stamps import NO_RATIO
from evenhand.publish.durations import about_long
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    capital,
    count_word,
    counted,
    listed,
    margin_words,
    with_unit,
)
from evenhand.publish.reservations import how_many, over
from evenhand.publish.spans import Span, percent_span
from evenhand.publish.standing import standing
from evenhand.verdicts.fewest import FEWEST_TESTS

if TYPE_CHECKING:
    from evenhand.verdicts.verdict import Verdict  # a name in signatures alone: it loads much

MOST_RUNS = 12  # beyond this the findings no longer count how many runs would settle a question


def headline(findings: Sequence[Finding], names: Names) -> str:
    """How one pair stands over its tests, short enough for a card.

    The findings are of one pair; "Plover ahead in four, Dunlin in three, two level".
    """
    if not findings:
        return "No test in common yet"
    a, b = names.setup(findings[0].a), names.setup(findings[0].b)
    if len(findings) == 1:
        return _single(findings[0], a, b, names)
    states = states_of(findings)
    if len(states) == 1:
        return _all_alike(next(iter(states)), len(findings), a, b)
    return _and_so_on(states, a, b)


def index_headline(indexes: Sequence[Index], names: Names) -> str:
    """How one pair stands in its indexes, short enough for a card.

    "Level over all nine, Plover ahead in games, Dunlin ahead in work"; what holds of several is said once,
    and of a lead that it may be too small to matter.
    """
    stands: dict[tuple[str, bool], list[str]] = {}
    for index in indexes:
        leads = {Outcome.AHEAD: index.a, Outcome.BEHIND: index.b}
        who = f"{names.setup(leads[index.outcome])} ahead" if index.outcome in leads else index.outcome.value
        small = index.outcome in leads and index.perhaps_small
        stands.setdefault((who, small), []).append(over(index, names))
    leading = [small for who, small in stands if who.endswith(" ahead")]
    both = len(leading) == 2 and all(leading)  # said once of both
    told = ", ".join(
        f"{who} {listed(tuple(where))}{' (perhaps too little to matter)' if small and not both else ''}"
        for (who, small), where in stands.items()
    )
    return capital(f"{told} (both leads perhaps too little to matter)" if both else told)


def finding_sentence(finding: Finding, names: Names, *, margin: float) -> str:
    """One finding as a sentence with its interval; `margin` is the smallest difference that matters."""
    a, b, test = names.setup(finding.a), names.setup(finding.b), names.test(finding.test)
    span = standing(finding)
    if finding.outcome is Outcome.UNSETTLED or span is None:
        return _unsettled(finding, names, margin)
    if finding.outcome is Outcome.LEVEL:
        at = f"{a} {'measurably ' if finding.measurably else ''}{span.words('%', signed=True)}"
        at += over_bridge(finding, names)
        return f"{a} and {b} are level in {test}, within {margin_words(margin)}: {at}."
    by = f"{apart(span)}{from_front(finding, names)}{perhaps(finding, margin=margin)}"
    by += over_bridge(finding, names)
    return f"{a} is {finding.outcome.value} {_preposition(finding.outcome)}{b} in {test} by {by}."


def perhaps(found: Finding | Index | Verdict, *, margin: float) -> str:
    """What is said after a lead that may be too small to matter, or ""."""
    if not found.perhaps_small:
        return ""
    return f", perhaps by less than the margin of {with_unit(f'{100 * margin:.4g}', '%')}"


def over_bridge(found: Finding | Index | Verdict, names: Names) -> str:
    """What is said after a number of two that were measured apart, or ""."""
    return f", bridged by {listed(tuple(map(names.setup, found.bridged_by)))}" if found.bridged_by else ""


def index_sentence(index: Index, names: Names, *, margin: float) -> str:
    """An index in words: where it stands, what it leans on, and what it foretells of a test not run."""
    parts = [index_stands(index, names, margin=margin), *_leaning(index, names), *_foretold(index, names)]
    if index.missing:
        without = listed(tuple(map(names.test, index.missing)))
        parts.append(f"Not in it, for want of runs to compare: {without}.")
    return " ".join(parts)


def apart(span: Span) -> str:
    """How far apart two setups are that are not level, told without a sign where the interval allows."""
    if span.low is not None and span.high is not None and span.low < 0 < span.high:
        return span.words("%", signed=True)
    return span.magnitude.words("%")


def from_front(found: Finding | Index, names: Names) -> str:
    """What the one ahead has over the other, said after a deficit where the two read otherwise, or ""."""
    if found.outcome is not Outcome.BEHIND or not found.ratio or found.high is None or found.low is None:
        return ""
    lead = percent_span(1 / found.ratio, 1 / found.high, 1 / found.low).digits()
    if lead == percent_span(found.ratio, found.low, found.high).magnitude.digits():
        return ""
    return f", so {names.setup(found.b)} is ahead by {with_unit(lead, '%')}"


def why_no_ratio(findings: Sequence[Finding], names: Names) -> str:
    """Why none of these has a ratio though both sides were run, as a sentence; "" where that is not so."""
    if any(finding.ratio is not None for finding in findings):
        return ""
    refused = (caveat for finding in findings for caveat in finding.caveats if caveat.key in NO_RATIO)
    first = next(refused, None)
    return "" if first is None else f"No call: {first.told(names.setup, names.test)}."


def is_refused(finding: Finding) -> bool:
    """Whether both sides were run and may not share a ratio."""
    runs = min(finding.n_a, finding.n_b) > 0
    return runs and finding.ratio is None and any(caveat.key in NO_RATIO for caveat in finding.caveats)


def why_unsettled(finding: Finding, names: Names, *, margin: float) -> str:
    """The reason a finding is unsettled, as a clause."""
    for setup, n in ((finding.a, finding.n_a), (finding.b, finding.n_b)):
        if n == 0:
            return f"{names.setup(setup)} has no run that counts"
    refused = next((caveat for caveat in finding.caveats if caveat.key in NO_RATIO), None)
    if refused is not None:
        return refused.told(names.setup, names.test)
    single = [names.setup(s) for s, n in ((finding.a, finding.n_a), (finding.b, finding.n_b)) if n == 1]
    if single:
        return f"{listed(tuple(single))} {'has one run only' if len(single) == 1 else 'have one run each'}"
    if finding.low is None or finding.high is None:
        return "these runs allow no interval"
    low, high, bound = finding.low - 1, finding.high - 1, margin_words(margin)
    if low <= 0 <= high:
        return f"the interval holds no difference and also more than {bound}"
    return _why_withheld(finding.caveats)


def _why_withheld(caveats: Sequence[Caveat]) -> str:
    """Why a difference is not called though its interval is clear of none."""
    withheld = {c.key: c.told() for c in caveats}
    if "ahead-withheld" in withheld and DRIFTS in withheld:
        return "the difference is no larger than what a drift of the machine that bridges may make"
    if "ahead-withheld" in withheld:
        return "the difference is no larger than an error that the runs of one boot may share"
    told = withheld.get("family-withheld") or withheld.get("p-withheld")
    return (
        f"the interval is {told}"
        if told
        else "the interval is clear of no difference, but p is not low enough"
    )


def why_index_unsettled(index: Index) -> str:
    """The reason an index is unsettled, as a clause; "" where its interval shows it."""
    single = next((c.tests for c in index.caveats if c.key == "one-run"), ())
    if single:
        return (
            f"{counted(len(single), 'test')} {'has' if len(single) == 1 else 'have'} a single run on a side"
        )
    if index.low is None or index.high is None:
        return "these runs allow no interval"
    return "" if index.low <= 1 <= index.high else _why_withheld(index.caveats)


def what_would_settle(finding: Finding) -> str:
    """What would settle an unsettled finding, as a sentence, or "" where that is not known."""
    settle = finding.settle
    if settle is None:
        return ""
    if settle.more_runs is None:
        return f"Not to be settled within {count_word(MOST_RUNS)} runs of each."
    runs = counted(settle.more_runs, "more run of each", "more runs of each")
    minutes = "" if settle.minutes is None else f", {about_long(settle.minutes)}"
    would = "would settle it" if not minutes else ", would settle it"
    return f"{runs[:1].upper()}{runs[1:]}{minutes}{would if minutes else ' ' + would}."


def _unsettled(finding: Finding, names: Names, margin: float) -> str:
    a, b, test = names.setup(finding.a), names.setup(finding.b), names.test(finding.test)
    at = ""
    if finding.ratio is not None:
        span = percent_span(finding.ratio, finding.low, finding.high)
        at = f" {a} {span.words('%', signed=True)}{over_bridge(finding, names)};"
    why = why_unsettled(finding, names, margin=margin)
    if is_refused(finding):  # more runs would settle nothing
        return f"{a} and {b} may not be held against each other in {test}: {why}."
    said = f"{a} and {b} are unsettled in {test}:{at} {why}."
    return f"{said} {what_would_settle(finding)}".rstrip()


def index_stands(index: Index, names: Names, *, margin: float, short: bool = False) -> str:
    """Where an index stands, as a sentence; `short` where it follows one that says over which tests."""
    a, b = names.setup(index.a), names.setup(index.b)
    span = standing(index) or percent_span(index.ratio, None, None)
    where = f"{tests_of(index, names)} "
    if short:
        where = f"In {names.group(index.group).lower()} " if index.group else ""
    at = f"{a} {span.words('%', signed=True)}{over_bridge(index, names)}"
    if index.outcome is Outcome.LEVEL:
        return f"{where}{a} and {b} are level within {margin_words(margin)}: {at}."
    if index.outcome is Outcome.UNSETTLED:
        why = why_index_unsettled(index)
        return f"{where}{a} and {b} are unsettled: {at}{f'; {why}' if why else ''}."
    by = f"{apart(span)}{from_front(index, names)}{perhaps(index, margin=margin)}{over_bridge(index, names)}"
    return f"{where}{a} is {index.outcome.value} {_preposition(index.outcome)}{b} by {by}."


def tests_of(index: Index, names: Names) -> str:
    """Over what an index speaks: "Over all nine tests", "Over five of six tests", "In games (five tests)"."""
    many = f"{how_many(index)} {'test' if len(index.tests) + len(index.missing) == 1 else 'tests'}"
    if index.group:
        return f"In {names.group(index.group).lower()} ({many.removeprefix('all ')})"
    return f"Over {many}"


def _leaning(index: Index, names: Names) -> list[str]:
    flips = [left for left in index.left_out if left.flips]
    if flips:
        said = tuple(f"{_left_out_stand(left)} without {names.test(left.test)}" for left in flips)
        return [f"It leans on {'one test' if len(said) == 1 else 'single tests'}: {listed(said)}."]
    if not index.left_out:
        return []
    most = max(index.left_out, key=lambda left: abs(left.ratio / index.ratio - 1))
    return [
        f"No single test turns it; it moves most without {names.test(most.test)}, {_left_out_stand(most)}."
    ]


def _left_out_stand(left: LeftOut) -> str:
    span = percent_span(left.ratio, left.low, left.high)
    return f"{left.outcome.value} at {with_unit(span.digits(signed=True), '%')}"


def _foretold(index: Index, names: Names) -> list[str]:
    words = predicted_words(index)
    if not words:
        return []
    a, b = names.setup(index.a), names.setup(index.b)
    said = f"For a test not run they foretell anything from {words}, {a} over {b}"
    if len(index.tests) >= FEWEST_TESTS:
        return [f"{said}."]
    return [f"{said}: no forecast yet, for which {count_word(FEWEST_TESTS)} tests of one sort are needed."]


def predicted_words(index: Index) -> str:
    """The prediction for a test not run as a range in words, or "" where there is none."""
    if index.predicted_low is None or index.predicted_high is None:
        return ""
    span = percent_span(index.ratio, index.predicted_low, index.predicted_high)
    return with_unit(span.range(signed=True), "%")


def states_of(findings: Sequence[Finding]) -> dict[Outcome, int]:
    """How often each state occurs: the side with more first, then the other, level, unsettled."""
    counts = Counter(f.outcome for f in findings)
    sides = [Outcome.AHEAD, Outcome.BEHIND]
    if counts[Outcome.BEHIND] > counts[Outcome.AHEAD]:
        sides.reverse()
    return {o: counts[o] for o in (*sides, Outcome.LEVEL, Outcome.UNSETTLED) if counts[o]}


def _single(finding: Finding, a: str, b: str, names: Names) -> str:
    test = names.test(finding.test)
    if finding.outcome in (Outcome.AHEAD, Outcome.BEHIND):
        return f"{a if finding.outcome is Outcome.AHEAD else b} ahead in {test}"
    return f"{a} and {b}: {finding.outcome.value} in {test}"


def _all_alike(outcome: Outcome, n: int, a: str, b: str) -> str:
    every = "both tests" if n == 2 else f"all {counted(n, 'test')}"
    if outcome in (Outcome.AHEAD, Outcome.BEHIND):
        return f"{a if outcome is Outcome.AHEAD else b} ahead in {every}"
    return f"{a} and {b}: {outcome.value} in {every}"


def _and_so_on(states: dict[Outcome, int], a: str, b: str) -> str:
    parts: list[str] = []
    for outcome, n in states.items():
        if outcome in (Outcome.AHEAD, Outcome.BEHIND):
            lead = "" if any(" in " in p for p in parts) else "ahead "
            parts.append(f"{a if outcome is Outcome.AHEAD else b} {lead}in {count_word(n)}")
        else:
            parts.append(f"{count_word(n)} {outcome.value}")
    said = ", ".join(parts)
    return said[:1].upper() + said[1:]


def _preposition(outcome: Outcome) -> str:
    return "of " if outcome is Outcome.AHEAD else ""
