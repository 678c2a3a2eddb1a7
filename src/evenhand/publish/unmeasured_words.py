"""What an audience weighs and nobody could tell, said beside whatever stands without it."""

from __future__ import annotations

import math
from collections.abc import Iterable

from evenhand.findings.caveats import UNMEASURED
from evenhand.findings.finding import Caveat
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed, number, tenths, with_unit
from evenhand.records.audiences import Audience, Property
from evenhand.verdicts.noise import TWICE_AS_LOUD_DB
from evenhand.verdicts.verdict import Verdict

MOST_DB, MOST_PERCENT = 40, 900  # beyond this only that it is more


def but_unmeasured(told: Iterable[tuple[Audience, Verdict]], names: Names) -> tuple[str, ...]:
    """A sentence for each verdict of whose weight a part has no number; it follows what was said of it."""
    return tuple(
        f"But for {isolated(audience.name)} {caveat.told(names.setup, names.test)}."
        for audience, verdict in told
        for caveat in verdict.caveats
        if caveat.key == UNMEASURED
    )


def blind_words(verdict: Verdict, names: Names) -> str:
    """What has no number, behind a sentence that says how much of the weight that is."""
    return f"That is {_lacking(verdict, names)}; with so much unknown nothing is called."


def why_nothing(audience: Audience) -> str:
    """Why nothing that an audience weighs has a number on both sides of a pair, as a clause."""
    weighed = [of for of, weight in audience.properties.items() if weight > 0 and of is not Property.PRICE]
    if not weighed:
        return NOT_READ[Property.PRICE]
    if Property.SPEED in weighed:
        return NOT_READ[Property.SPEED]
    return listed(tuple(NOT_READ[of] for of in weighed))


NOT_READ = {
    Property.SPEED: "runs of both count in nothing that is weighed",
    Property.PRICE: "only the price is weighed, and nothing that was measured",
    Property.POWER: "nobody read the watts of both in a test that is weighed",
    Property.LOWS: "no test that is weighed has 1% lows of both",
    Property.NOISE: "nobody read the noise of both",
}


def besides_words(verdict: Verdict) -> str:
    """How much has no number, behind a verdict called without it; "" where all has, or none is called.

    The same as telling.js, unknown.
    """
    if verdict.is_blind or not verdict.missing > 1e-9:
        return ""
    return f" {tenths(verdict.missing)} of the weight has no number."


def further_caveats(verdict: Verdict) -> tuple[Caveat, ...]:
    """The reservations of a verdict beside that one."""
    return tuple(caveat for caveat in verdict.caveats if caveat.key != UNMEASURED)


def turned_by_unknown(verdict: Verdict, names: Names) -> str:
    """What had to be found where nothing has a number for the other one to come to the front, a sentence.

    The index is (1 − m)·d + m·u, m being the share without a number: it turns at u = −d·(1 − m) / m. "" where
    all has a number.
    """
    if not verdict.missing > 0:
        return ""
    _, other = sorted((verdict.a, verdict.b), key=lambda setup: (setup == verdict.a) != (verdict.ratio >= 1))
    who = names.setup(other)
    need = abs(math.log(verdict.ratio)) * (1 - verdict.missing) / verdict.missing
    what = _lacking(verdict, names)
    one = (set(verdict.unknown) != {Property.SPEED} and len(verdict.unknown) == 1) or " and " not in what
    has = "has" if one else "have"
    how = _quieter(need) if set(verdict.unknown) == {Property.NOISE} else _better(need)
    return f"No chance is told, since {what} {has} no number. {who} would be in front if it were {how}."


def _lacking(verdict: Verdict, names: Names) -> str:
    lacks = next((c.tests for c in verdict.caveats if c.key == UNMEASURED), ())
    what, asked = listed(tuple(map(names.test, lacks))), {of.value for of in verdict.unknown}
    in_tests = len(asked) == 1 and Property.SPEED not in verdict.unknown and set(lacks) != asked
    return f"{asked.pop()} in {what}" if in_tests else what


def _quieter(need: float) -> str:
    by = _at_least(need / math.log(2.0) * TWICE_AS_LOUD_DB, MOST_DB, "dB")
    return f"quieter by {by}"


def _better(need: float) -> str:
    percent = 100 * math.expm1(min(need, math.log(1e6)))
    return f"better there by {_at_least(percent, MOST_PERCENT, '%')}"


def _at_least(size: float, most: float, unit: str) -> str:
    """Rounded up: what is less does not turn it."""
    if size > most:
        return f"more than {with_unit(number(most), unit)}"
    return f"{with_unit(number(math.ceil(10 * size) / 10, 1).removesuffix('.0'), unit)} or more"
