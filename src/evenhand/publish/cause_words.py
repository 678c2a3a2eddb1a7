"""Causes in words: which part makes the difference where, what changed together, and what was refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.findings.effects import Effect
from evenhand.findings.factors import NOT_ON_RECORD
from evenhand.findings.finding import Outcome
from evenhand.findings.listing import in_a_row
from evenhand.findings.outcomes import ALPHA
from evenhand.findings.stamps import NO_RATIO
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, listed
from evenhand.publish.spans import Span, the_other_way
from evenhand.publish.standing import allowed_words, standing
from evenhand.stats.designs import Change

LEADS = (Outcome.AHEAD, Outcome.BEHIND)
NOT_RUN = "no run of both counts"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What things are called where causes are told: setups and tests, and parts by their keys."""

    names: Names
    parts: Mapping[str, str]

    def level(self, level: str) -> str:
        """A level of a factor: parts by name, whatever else as it was written down."""
        keys = level.split(" + ")
        known = all(key in self.parts for key in keys)
        return in_a_row([self.parts[key] for key in keys]) if known else level

    def change(self, change: Change) -> str:
        """What was exchanged for what: "Lantern 40 in place of Lantern 36"."""
        return f"{self.level(change.high)} in place of {self.level(change.low)}"


def factor_words(changes: Sequence[Change]) -> str:
    """What changed, by kind: "processor, board and graphics"."""
    return listed(tuple(change.factor for change in changes))


def causes_answer(causes: Sequence[Cause], told: Told) -> str:
    """What may be said about which part, in one sentence.

    Parts that are told apart and make a difference first, then those that make none, then what changed
    together, then what could not be asked; what holds of all other tests is "elsewhere".
    """
    effects = [cause for cause in causes if cause.sort is Sort.EFFECT]
    tests = list(dict.fromkeys(cause.test for cause in effects))
    if not tests:
        return "Nothing was measured in which a part could make a difference."
    by_test = {test: [cause for cause in effects if cause.test == test] for test in tests}
    clauses: dict[str, list[str]] = {}
    for test, own in by_test.items():
        clauses.setdefault(_clause(own), []).append(test)
    order = sorted(clauses, key=lambda clause: _RANKS.index(_rank(by_test[clauses[clause][0]])))
    said = [_placed(clause, clauses[clause], told, all_of=tests, last=i) for i, clause in enumerate(order)]
    return f"{capital('; '.join(said))}."


_RANKS = (Standing.SHOWN, Standing.BUNDLED, Standing.UNREAD, Standing.BESIDE, Standing.REFUSED,
          Standing.NOT_MEASURED)  # fmt: skip


def _rank(own: Sequence[Cause]) -> Standing:
    return min((cause.standing for cause in own), key=_RANKS.index)


def _clause(own: Sequence[Cause]) -> str:
    """What is said of one test, with {where} for its place."""
    rank = _rank(own)
    if rank is Standing.SHOWN:
        return _shown_clause(own)
    if rank is Standing.BUNDLED:
        return f"{{where}}{_bundle_clause(next(c for c in own if c.standing is Standing.BUNDLED))}"
    return {
        Standing.UNREAD: "{where}what changed is not on record",
        Standing.BESIDE: "{where}no part differs, only how runs were made",
        Standing.REFUSED: "{where}the two ran different tests, which may not share a ratio",
        Standing.NOT_MEASURED: "{where}no run of both counts",
    }[rank]


def _bundle_clause(bundled: Cause) -> str:
    """What changed together; what nobody wrote down may have, or not."""
    unread = [change for change in bundled.changes if NOT_ON_RECORD in (change.low, change.high)]
    read = [change for change in bundled.changes if change not in unread]
    if unread and read:
        maybe = listed(tuple(change.factor for change in unread), "or")
        changed = f"{factor_words(read)} changed, whether {maybe} did is not on record"
    else:
        changed = f"{factor_words(bundled.changes)} changed together"
    return f"{changed}, and no setup tells them apart"


def _shown_clause(own: Sequence[Cause]) -> str:
    shown = [cause for cause in own if cause.standing is Standing.SHOWN]
    called = [c for c in shown if c.effect is not None and c.effect.outcome in LEADS]
    if called:
        rest = [cause for cause in own if cause not in called]
        alone = all(c.effect is not None and c.effect.outcome is Outcome.LEVEL for c in rest)
        names = listed(tuple(cause.factors[0] for cause in called))
        verb = "makes" if len(called) == 1 else "make"
        return f"{names} {verb} {'the' if alone else 'a'} difference{{in}}"
    level = [c for c in shown if c.effect is not None and c.effect.outcome is Outcome.LEVEL]
    names = listed(tuple(cause.factors[0] for cause in level or shown))
    verb = "makes" if len(level or shown) == 1 else "make"
    if level:
        return f"{names} {verb} no difference that matters{{in}}"
    return f"what {names} does{{in}} is unsettled"


def _placed(clause: str, tests: Sequence[str], told: Told, *, all_of: Sequence[str], last: int) -> str:
    """A clause with the tests that it holds of."""
    where = listed(tuple(map(told.names.test, tests)))
    every = len(tests) == len(all_of)
    if every and len(tests) > 1:
        inside = f" in all {count_word(len(tests))} tests"
    elif last and len(tests) > 2:
        inside = ""
    else:
        inside = f" in {where}"
    before = f"{inside.strip()} " if inside else "elsewhere "
    return clause.replace("{where}", before).replace("{in}", inside or " elsewhere")


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectWords:
    """What stands at the end of a row of causes; `sort` is "ahead", "level" or "unsettled"."""

    state: str
    interval: str
    sort: str
    slot: int | None = None


def effect_words(cause: Cause, told: Told) -> EffectWords:
    """How an effect stands, in few words and with its interval."""
    effect, names = cause.effect, told.names
    span = None if effect is None else standing(effect)
    if effect is None or span is None:
        return _no_effect_words(cause)
    if cause.sort is Sort.INTERACTION:
        return _interaction_words(effect.outcome, span)
    if effect.outcome in LEADS:
        leader = cause.a if effect.outcome is Outcome.AHEAD else cause.b
        verb = "puts" if len(_surely(cause) or cause.changes[:1]) == 1 else "together put"
        return EffectWords(
            state=capital(f"{verb} {names.setup(leader)} ahead"), sort="ahead",
            interval=_of_front(cause, span, told), slot=names.slot(leader).number,
        )  # fmt: skip
    at = _of_front(cause, span, told)
    return EffectWords(state=capital(effect.outcome.value), interval=at, sort=effect.outcome.value)


def _of_front(cause: Cause, span: Span, told: Told) -> str:
    """The effect told of whoever it puts in front, so that no number speaks of another than the words do."""
    first = span.value >= 0
    shown = span if first else the_other_way(span)
    return f"{told.names.setup(cause.a if first else cause.b)} {shown.words('%', signed=True)}"


def allowance_words(cause: Cause) -> str:
    """What the row's interval becomes with its allowance, of whoever the row tells of; "" without one."""
    effect = cause.effect
    if effect is None:
        return ""
    turned = cause.sort is Sort.EFFECT and effect.ratio < 1
    return allowed_words(effect, turned=turned)


def _no_effect_words(cause: Cause) -> EffectWords:
    if cause.standing is Standing.REFUSED:
        return EffectWords(state="Refused", interval="", sort="unsettled")
    if any(caveat.key in NO_RATIO for caveat in cause.caveats):
        apart = "measured apart, and nothing bridges it"
        return EffectWords(state="No ratio", interval=apart, sort="unsettled")
    return EffectWords(state="Not measured", interval=NOT_RUN, sort="unsettled")


def _interaction_words(outcome: Outcome, span: Span) -> EffectWords:
    """How far two things together do more or less than each by itself."""
    at = f"beyond what each does by itself: {span.words('%', signed=True)}"
    if outcome in LEADS:
        state = f"Together they do {'more' if outcome is Outcome.AHEAD else 'less'}"
        return EffectWords(state=state, interval=at, sort="measured")
    return EffectWords(state=capital(outcome.value), interval=at, sort=outcome.value)


NOT_CALLED = "clear of 0 by itself, not once all comparisons are counted"
NOT_SURELY = "clear of 0 at 95\u00a0%, but not surely enough to call it"


def why_not_called(effect: Effect) -> str:
    """Why an effect whose interval leaves out 0 is unsettled; "" where it does not.

    One comparison of several may be clear by chance alone, so that all are counted before any is called.
    """
    if effect.outcome is not Outcome.UNSETTLED or effect.low is None or effect.high is None:
        return ""
    if effect.low <= 1 <= effect.high:
        return ""
    return NOT_CALLED if effect.p is not None and effect.p < ALPHA else NOT_SURELY


def cause_name(cause: Cause) -> str:
    """What a row is about: "graphics", "processor and board together", or what depends on what."""
    if cause.sort is Sort.INTERACTION:
        first = [change for change in cause.changes if change not in cause.against]
        return f"{factor_words(cause.against)} beside the other {factor_words(first)}"
    sure = _surely(cause)
    if sure and len(sure) < len(cause.changes):
        maybe = [change for change in cause.changes if change not in sure]
        return f"{factor_words(sure)}, perhaps with {listed(tuple(c.factor for c in maybe), 'or')}"
    return (
        f"{factor_words(cause.changes)} together" if len(cause.changes) > 1 else factor_words(cause.changes)
    )


def _surely(cause: Cause) -> list[Change]:
    """The changes of which both sides are on record."""
    return [change for change in cause.changes if NOT_ON_RECORD not in (change.low, change.high)]


STANDS = {
    Standing.SHOWN: "Told apart: a cause.",
    Standing.BUNDLED: "One bundle: what they do together, and no cause by name.",
    Standing.BESIDE: "Not the question: how runs were made has an effect of its own.",
    Standing.UNREAD: "Could not be read: nobody wrote down what changed.",
    Standing.NOT_MEASURED: "Not measured.",
    Standing.REFUSED: "Refused.",
}


def cause_details(cause: Cause, told: Told) -> tuple[tuple[str, str], ...]:
    """Terms and their words, in the order in which one would ask."""
    return tuple(_details(cause, told))


def _details(cause: Cause, told: Told) -> Iterator[tuple[str, str]]:
    for change in cause.changes:
        yield capital(change.factor), told.change(change)
    inter = cause.sort is Sort.INTERACTION
    yield "Stands as", INTERACTION if inter else STANDS[cause.standing]
    effect = cause.effect
    if effect is not None:
        span = standing(effect)
        if span is not None:
            yield "Effect", span.words("%", signed=True)
        yield "Had from", _had_from(cause, told)
        yield "Method", effect.method
    if cause.depends_on:
        yield "Depends on", listed(cause.depends_on)
    yield from reservations_of(cause, told)


INTERACTION = "An interaction: beyond 0 % one does more, or less, beside the other."


RESERVATION, ALLOWANCE = "Reservation", "Allowance"


def reservations_of(cause: Cause, told: Told) -> Iterator[tuple[str, str]]:
    """What must be known with it, as sentences; an allowance, which is of this row alone, by its own term."""
    for c in dict.fromkeys((*cause.caveats, *(cause.effect.caveats if cause.effect else ()))):
        term = ALLOWANCE if c.key == "allowance" else RESERVATION
        yield term, f"{capital(c.told(told.names.setup, told.names.test))}."


def _had_from(cause: Cause, told: Told) -> str:
    """Which setups it rests on, and with which sign."""
    plus = tuple(told.names.setup(s) for s, w in cause.weights.items() if w > 0)
    minus = tuple(told.names.setup(s) for s, w in cause.weights.items() if w < 0)
    runs = cause.effect.runs if cause.effect else 0
    return f"{listed(plus)} over {listed(minus)}, {count_word(runs)} runs"
