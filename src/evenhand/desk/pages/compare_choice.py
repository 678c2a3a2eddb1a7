"""Which pair, number and test a comparison page shows, and the addresses of every other choice."""

from __future__ import annotations

from dataclasses import dataclass, replace
from urllib.parse import urlencode

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.frame import address
from evenhand.errors import NotFound
from evenhand.findings.finding import Comparison, Finding
from evenhand.verdicts.front_pair import front_of_indexes

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What an address asks for; "" leaves the choice to the page."""

    pair: str = ""
    metric: str = ""
    test: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One pair, one number ("" is each test's headline number), and the test that is opened, if any."""

    study: str
    pair: Pair
    metric: str = ""
    test: str = ""

    @property
    def address(self) -> str:
        """Where this choice is shown.

        >>> Choice(study="s", pair=("a", "b"), test="t").address
        '/studies/s/compare?pair=a~b&test=t'
        """
        asked = {"pair": "~".join(self.pair), "metric": self.metric, "test": self.test}
        return f"{address(self.study, 'compare')}?{urlencode({k: v for k, v in asked.items() if v})}"

    def of(self, finding: Finding) -> bool:
        """Whether a finding belongs to this choice."""
        metric = finding.headline if not self.metric else finding.metric == self.metric
        return metric and (finding.a, finding.b) == self.pair


def pairs_of(comparison: Comparison) -> tuple[Pair, ...]:
    """The pairs that have findings, the study's first pair first."""
    return tuple(dict.fromkeys((f.a, f.b) for f in comparison.findings))


def choose(record: StudyOnRecord, comparison: Comparison, asked: Asked) -> Choice | None:
    """The choice that is shown; None where no two setups are compared. Raises NotFound for what is none."""
    pairs = pairs_of(comparison)
    if not pairs:
        return None
    chosen = _pair(pairs, asked.pair) if asked.pair else pair_in_front(comparison)
    choice = Choice(study=record.study.key, pair=chosen, metric=_metric(comparison, asked.metric))
    own = [f for f in comparison.findings if choice.of(f)]
    return replace(choice, test=_test(own, asked.test))


def pair_in_front(comparison: Comparison) -> Pair:
    """The pair that a page opens with: whoever is in front over all tests and its nearest rival, else the
    study's first pair. There must be one.
    """
    pairs, front = pairs_of(comparison), front_of_indexes(comparison.indexes)
    return front.pair if front is not None and front.pair in pairs else pairs[0]


def _pair(pairs: tuple[Pair, ...], asked: str) -> Pair:
    wanted = tuple(asked.split("~"))
    found = next((pair for pair in pairs if wanted in (pair, pair[::-1])), None)
    if found is None:
        known = ", ".join(" and ".join(pair) for pair in pairs)
        raise NotFound(f"'{asked}' is no pair of this study", where="pair", todo=f"choose one of: {known}")
    return found


def _metric(comparison: Comparison, asked: str) -> str:
    known = dict.fromkeys(f.metric for f in comparison.findings if not f.headline)
    if asked and asked not in known:
        todo = f"choose one of: {', '.join(known)}" if known else "look at the headline numbers"
        raise NotFound(f"'{asked}' is not compared in this study", where="metric", todo=todo)
    return asked


def _test(findings: list[Finding], asked: str) -> str:
    """The test that is opened: the one asked for, else the first that has a number."""
    tests = [f.test for f in findings]
    if asked and asked not in tests:
        raise NotFound(f"'{asked}' is no test here", where="test", todo=f"choose one of: {', '.join(tests)}")
    return asked or next((f.test for f in findings if f.ratio is not None), "")
