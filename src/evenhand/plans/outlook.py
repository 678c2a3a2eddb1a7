"""What a plan is good for: how wide each test's interval will be, and which tests will show a difference."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.plans.looks import Looks
from evenhand.plans.power import half_width, runs_to_see
from evenhand.plans.spreads import Expected


@dataclass(frozen=True, slots=True, kw_only=True)
class TestOutlook:
    """One test: the spread expected, half the width of its 95 % interval in the end, both logs.

    `runs_needed` is how many runs of each show the difference asked about with power .8, None beyond 60.
    """

    __test__ = False  # tells pytest that this is not a test of ours

    test: str
    expected: Expected
    half: float
    runs_needed: int | None
    shows: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """All tests of a plan. `effect` is the log difference asked about; it may show at the last look."""

    effect: float
    looks: Looks
    tests: tuple[TestOutlook, ...]

    @property
    def showing(self) -> int:
        """In how many tests the difference shows."""
        return sum(test.shows for test in self.tests)


def outlook(expected: Mapping[str, Expected], *, looks: Looks, comparisons: int, effect: float) -> Outlook:
    """What so many runs will show, test by test.

    The level is that of the looks over all `comparisons` (Bonferroni), as a live finding asks; earlier looks
    add a little to the power that is told.
    """
    alpha = looks.ahead / max(1, comparisons)
    tests = []
    for test, known in expected.items():
        needed = runs_to_see(effect, known.scatter, alpha=alpha)
        tests.append(
            TestOutlook(
                test=test,
                expected=known,
                half=half_width(known.scatter, looks.last),
                runs_needed=needed,
                shows=needed is not None and needed <= looks.last,
            )
        )
    return Outlook(effect=effect, looks=looks, tests=tuple(tests))
