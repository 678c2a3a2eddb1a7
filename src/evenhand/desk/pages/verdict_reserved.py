"""What goes with a verdict: reservations, why there is none, what was tried where nothing flips it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.verdict.judged import ForAudience
from evenhand.publish.flip_words import leans_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.tried_words import nothing_turns, tried_words
from evenhand.publish.verdict_words import no_verdict_words
from evenhand.verdicts.verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Unflipped:
    """That no single change flips it, and what was tried; `two` says whether two changes are asked for."""

    heading: str
    words: str
    two: bool


def unflipped_of(verdict: Verdict, here: ForAudience) -> Unflipped:
    """What stands where no single change flips it."""
    tried, value = here.tried.get((verdict.a, verdict.b), frozenset()), verdict.says_value
    if not tried:
        return Unflipped(heading="Nothing can flip it", words=nothing_turns(tried, value=value), two=False)
    return Unflipped(
        heading="Nothing that was tried flips it", words=tried_words(tried, value=value), two=True
    )


def reservations(here: ForAudience, pair: tuple[str, str], names: Names) -> Sequence[str]:
    """What goes with the verdict of the audience that is looked at."""
    verdict = here.verdict(*pair)
    if verdict is None:
        return ()
    told = [f"{capital(caveat.told(names.setup, names.test))}." for caveat in verdict.caveats]
    return [line for line in (*told, _leaning(here, verdict, names)) if line]


def _leaning(here: ForAudience, verdict: Verdict, names: Names) -> str:
    """Nothing leans on a test where too much of the weight was not measured at all."""
    return "" if verdict.is_blind else leans_words(here.flips, (verdict.a, verdict.b), names)


def unsaid(here: ForAudience, pair: tuple[str, str], names: Names) -> Sequence[str]:
    """Why the audience that is looked at has no verdict on the pair; nothing where it has one."""
    if here.trouble is not None or here.verdict(*pair) is not None:
        return ()
    own = (each for each in here.case.pairs if (each.a, each.b) == pair)
    return [line for each in own for line in no_verdict_words(each, here.audience, names)]
