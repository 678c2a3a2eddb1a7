"""What a build draws against what its supply bears, and what is assumed of that, in words."""

from __future__ import annotations

from evenhand.fit.answers import Answer
from evenhand.fit.power import LASTING, Assumed, Budget, Excursion
from evenhand.publish.direction import isolated
from evenhand.publish.fact_words import shares_words
from evenhand.publish.numbers import as_written, capital, counted, listed, number, tenths, with_unit

_MADE_FOR_IT = "A supply that is made for excursions by the design guide of ATX supplies, version 3,"


def power_sentence(found: Budget | None) -> str:
    """What a build's power budget comes to."""
    if found is None:
        return "Power: unknown. No supply is on record."
    lasting = found.over[0]
    if found.answer is Answer.UNKNOWN and (why := _why_open(found)):
        return f"Power: unknown. {why}"
    beyond = [each for each in found.over if each.answer is not Answer.FITS]
    aged = _aged_words(found)
    if not beyond:
        most = max(found.over[1:], key=_share)
        short = f"{length_words(most.ms)[:1].lower()}{length_words(most.ms)[1:]} {over_words(most)}"
        return f"Power: fits. For long it draws {over_words(lasting)}, {short}{aged and f'; {aged}'}."
    if lasting.answer is Answer.MISFIT:
        return f"Power: doesn’t fit. For long it draws {over_words(lasting)} that its supply bears."
    if found.answer is Answer.MISFIT:
        beyond = [each for each in beyond if each.answer is Answer.MISFIT]
    worst_of = max(beyond, key=_share)
    said = f"For {with_unit(listed(tuple(as_written(each.ms) for each in beyond)), 'ms')} it may draw "
    said += f"{over_words(worst_of)}"
    if found.answer is Answer.MISFIT:
        return f"Power: doesn’t fit. {said} that its supply bears for so long."
    more = f" {capital(aged)}." if aged else ""
    return (
        f"Power: unknown. {said} that its supply is rated for: whether it bears that so briefly is not known."
        f"{more}"
    )


def _why_open(found: Budget) -> str:
    """Why a budget is not known for long; "" where it is."""
    lasting, lacking = found.over[0], len(found.missing)
    if found.supplies > 1:
        several = capital(counted(found.supplies, "supply", "supplies"))
        together = "what they bear together is not known, since nothing says which part hangs on which"
        return f"{several} are on record: {together}."
    if found.lacking:
        no = {"processor": "processor", "graphics": "graphics card"}
        said = f"No {listed(tuple(no[kind] for kind in found.lacking), 'and no')} is on record"
        own = [seen for seen in found.seen if seen.fact.key == "own_graphics"]
        if found.lacking != ("graphics",):
            return f"{said}, so that nobody knows what it draws."
        if own:
            return f"{said}, and its processor has no graphics of its own."
        return f"{said}, and whether its processor has graphics of its own is not known."
    if lasting.answer is not Answer.UNKNOWN:
        return ""
    if lasting.drawn_w is None or lasting.borne_w is None:
        return f"{capital(counted(lacking, 'fact'))} of it {_is(lacking)} missing."
    return f"For long it draws {over_words(lasting)} that its supply is sure to bear: {_aged_words(found)}."


def _aged_words(found: Budget) -> str:
    """That the age of a supply is not known, and what it is taken for; "" where it is."""
    if found.old_years is None:
        return ""
    return f"the age of the supply is not known, it is taken for {as_written(found.old_years)} years old"


def _share(over: Excursion) -> float:
    return (over.drawn_w or 0.0) / over.borne_w if over.borne_w else 0.0


def _is(count: int) -> str:
    return "is" if count == 1 else "are"


def assumed_words(taken: Assumed) -> tuple[str, ...]:
    """What the power budget assumes where nothing better is known, a sentence each."""
    rest = listed(tuple(f"{watts(each)} {_each(kind)}" for kind, each in taken.rest_w.items()))
    shares = tuple(f"{kind} {shares_words(own)}" for kind, own in taken.draws.items())
    short = "What a processor’s maker says for a short while goes before that where it is more."
    old = f"one of unknown age fits only where it would at {as_written(taken.old_years)} years"
    return (
        f"Of what says nothing of its own power: {rest}.",
        f"What a part may draw for short, as a multiple of its power for long: {'; '.join(shares)}. {short}",
        f"{_MADE_FOR_IT} bears its rating {shares_words(taken.bears)}; any other one is promised no more.",
        f"A supply loses {tenths(taken.lost_a_year)} of its rating a year; {old}.",
        "All parts draw their most at once, which is the worst case.",
        "Better known is better: what is noted of a part’s own power by milliseconds goes before this.",
    )


def _each(kind: str) -> str:
    return {"memory": "a set of memory", "fans": "a set of fans", "storage": "a drive"}.get(kind, f"a {kind}")


def wall_words(wall_w: float, efficiency: float | None, label: str) -> str:
    """What was read at the wall, and what of it counts."""
    read = f"The most that was read at the wall is {watts(wall_w)}, in {isolated(label)}"
    if efficiency is None:
        return (
            f"{read}. What the supply hands on of it is not on record: all of it is taken, which is too much."
        )
    return f"{read}; the supply hands on {tenths(efficiency)} of it, {watts(wall_w * efficiency)}."


def watts(value: float) -> str:
    """Watts, whole."""
    return with_unit(number(value), "W")


def length_words(ms: float) -> str:
    r"""For how long something is drawn.

    >>> length_words(0.0), length_words(0.1)
    ('For long', 'For 0.1\xa0ms')
    """
    return "For long" if ms == LASTING else f"For {with_unit(as_written(ms), 'ms')}"


def over_words(over: Excursion) -> str:
    """What is drawn for so long against what the supply bears."""
    if over.drawn_w is None:
        return "what it draws is not known"
    if over.borne_w is None:
        return f"up to {watts(over.drawn_w)}; what the supply bears is not known"
    return f"{'up to' if over.whole else 'at least'} {watts(over.drawn_w)} of {watts(over.borne_w)}"
