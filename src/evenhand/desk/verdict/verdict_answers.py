"""Verdicts as JSON: for every audience each pair, how firmly, the money, and what would flip it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.worth_answers import rescaled
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.folders.worth_written import audience_table, currency_table
from evenhand.money.paid import Paid
from evenhand.publish.among_words import among_words
from evenhand.publish.flip_words import becomes_word, flip_sentence
from evenhand.publish.front_words import why_first
from evenhand.publish.names import Names
from evenhand.publish.verdict_words import no_verdict_words, verdict_sentence
from evenhand.verdicts.among import Among, Front
from evenhand.verdicts.front_pair import FrontPair
from evenhand.verdicts.moves import Flip, Move
from evenhand.verdicts.verdict import Verdict
from evenhand.verdicts.wobble import Wobble

Answer = dict[str, Any]


Together = Mapping[str, Sequence[Flip]]


def judgement_answer(found: Judgement, record: StudyOnRecord, together: Together | None = None) -> Answer:
    """``verdict --json``: prices in whole smallest units, ratios a over b with better upward.

    `together` are what two changes turn, by audience; None where nobody asked.
    """
    return {
        "study": record.study.key,
        "margin": record.study.margin,
        "prices": paid_answer(found.paid),
        "audiences": [
            audience_answer(each, record, found.paid)
            | {"two_changes": None if together is None else two_changes(each, record, found.paid, together)}
            for each in found.audiences
        ],
    }


def two_changes(found: ForAudience, record: StudyOnRecord, paid: Paid, together: Together) -> list[Answer]:
    """What two changes together turn for one audience."""
    return [flip_answer(flip, record, paid) for flip in together[found.audience.key]]


def paid_answer(paid: Paid) -> Answer:
    """Today's prices by setup, and what has none."""
    return {
        "currency": None if paid.currency is None else currency_table(paid.currency),
        "by_setup": {
            setup: {"build": p.build, "minor": p.minor, "on": p.on.isoformat(), "note": p.note}
            for setup, p in paid.by_setup.items()
        },
        "unpriced": list(paid.unpriced),
        "in_other_currencies": list(dict.fromkeys(price.build for price in paid.elsewhere.values())),
        "days_to_come": list(paid.to_come),
    }  # fmt: skip


def audience_answer(found: ForAudience, record: StudyOnRecord, paid: Paid) -> Answer:
    """One audience: as written down, its verdicts and flips; `trouble` where its weights cannot be read."""
    return {
        "audience": audience_table(found.audience, paid.currency),
        "stand_in": found.stand_in,
        "rescaled": {} if found.stand_in else rescaled(found.audience),
        "trouble": None if found.trouble is None else str(found.trouble),
        "among": among_answer(found.among, names_of(record)),
        "front_pair": front_pair_answer(found.front, names_of(record)),
        "verdicts": [verdict_answer(each, found, record, paid) for each in found.verdicts],
        "flips": [flip_answer(flip, record, paid) for flip in found.flips],
        "no_verdict": [] if found.trouble else no_verdicts(found, names_of(record)),
    }


def front_pair_answer(front: FrontPair | None, names: Names) -> Answer | None:
    """The pair that is shown first among three setups and more, and why; None of two."""
    if front is None:
        return None
    return {
        "a": front.pair[0],
        "b": front.pair[1],
        "front": front.front,
        "rival": front.rival,
        "by": front.by.value,
        "clear": front.clear,
        "words": why_first(front, names),
    }


def among_answer(found: Among | None, names: Names) -> Answer | None:
    """Who is ahead of all others and who the better value, among three setups and more; None of two."""
    if found is None:
        return None
    value = None if found.value is None else front_answer(found.value)
    return {
        **front_answer(found.ahead),
        "value": value,
        "left_out": list(found.left_out),
        "words": among_words(found, names),
    }


def front_answer(front: Front) -> Answer:
    """Who is first by one measure, before whom nobody is, and whether these are level and before the rest."""
    return {
        "setups": list(front.setups),
        "first": front.first,
        "unbeaten": list(front.unbeaten),
        "level": front.level,
    }


def no_verdicts(found: ForAudience, names: Names) -> list[Answer]:
    """The pairs on which nothing is said, each with the reason in words."""
    return [
        {"a": pair.a, "b": pair.b, "words": " ".join(no_verdict_words(pair, found.audience, names))}
        for pair in found.case.pairs
        if found.verdict(pair.a, pair.b) is None
    ]


def verdict_answer(verdict: Verdict, found: ForAudience, record: StudyOnRecord, paid: Paid) -> Answer:
    """One pair for an audience."""
    even, blind = verdict.break_even, verdict.is_blind
    names, margin = names_of(record), record.study.margin
    return {
        "a": verdict.a,
        "b": verdict.b,
        "outcome": verdict.outcome.value,
        "ratio": None if blind else verdict.ratio,
        "low": None if blind else verdict.low,
        "high": None if blind else verdict.high,
        "bound_low": None if blind else verdict.bound_low,
        "bound_high": None if blind else verdict.bound_high,
        "p_holm": None if blind else verdict.p_holm,
        "measurably": verdict.measurably,
        "perhaps_small": verdict.perhaps_small,
        "bridged_by": list(verdict.bridged_by),
        "value": verdict.value.value,
        "value_open": verdict.value_open,
        "break_even": None if even is None else {"at": even.at, "low": even.low, "high": even.high},
        "wobble": wobble_answer(found.wobbles.get((verdict.a, verdict.b))),
        "shares": [
            {"test": test, "property": of.value, "share": share}
            for (test, of), share in verdict.shares.items()
        ],
        "caveats": [caveat.told() for caveat in verdict.caveats],
        "words": verdict_sentence(verdict, found.audience, names, margin=margin, currency=paid.currency),
    }  # fmt: skip


def wobble_answer(chance: Wobble | None) -> Answer | None:
    """How often it holds with weights a little other, as shares of draws."""
    if chance is None:
        return None
    return {
        "a_in_front": chance.a_in_front,
        "a_by_margin": chance.a_by_margin,
        "b_by_margin": chance.b_by_margin,
        "alone": chance.alone,
    }


def flip_answer(flip: Flip, record: StudyOnRecord, paid: Paid) -> Answer:
    """One change, or two together, that turns something."""
    runs = {each.run.id: each.run.label for each in record.runs}
    return {
        "a": flip.a,
        "b": flip.b,
        "aspect": flip.aspect.value,
        "moves": [move_answer(move) for move in flip.moves],
        "was": becomes_word(flip.aspect, flip.was),
        "becomes": becomes_word(flip.aspect, flip.becomes),
        "was_open": flip.was_open,
        "becomes_open": flip.becomes_open,
        "ratio": flip.ratio,
        "words": flip_sentence(flip, names_of(record), currency=paid.currency, runs=runs),
    }


def move_answer(move: Move) -> Answer:
    """One change: prices in smallest units, weights and margins as shares; None where it has no steps."""
    return {
        "lever": move.lever.value,
        "name": move.name,
        "size": move.size,
        "before": move.before,
        "after": move.after,
        "metric": move.metric,
    }
