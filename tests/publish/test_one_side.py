"""Compare tells of the first setup, verdicts and claims of whoever is in front: the numbers meet."""

from dataclasses import replace

from tests.publish import saltmarsh as s

from evenhand.findings.finding import Outcome
from evenhand.publish.sentences import index_stands
from evenhand.publish.verdict_words import verdict_clause
from evenhand.verdicts.verdict import Verdict

WORK = replace(s.INDEXES[2], left_out=(), predicted_low=None)
FOR_WORK = Verdict(
    audience="work", a=WORK.a, b=WORK.b, outcome=Outcome.BEHIND, ratio=WORK.ratio, low=WORK.low,
    high=WORK.high, bound_low=WORK.bound_low, bound_high=WORK.bound_high, p_holm=0.001,
)  # fmt: skip


def test_the_number_of_the_verdict_stands_in_the_sentence_of_the_index():
    compared = index_stands(WORK, s.NAMES, margin=0.03)
    verdict = verdict_clause(FOR_WORK, s.NAMES, margin=0.03)
    assert verdict.startswith("Dunlin is ahead of Plover by 3.5\u00a0%")
    assert "so Dunlin is ahead by 3.5\u00a0%" in compared
