"""Whether parts go together, in words: never a fit where something is not known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from evenhand.fit.answers import Answer, worst
from evenhand.fit.asking import Fit
from evenhand.fit.known import FactKind, Sort
from evenhand.fit.power import LASTING, Assumed, Budget, Excursion
from evenhand.fit.reading import Seen
from evenhand.fit.rules import Rule, rules
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import (
    as_written,
    capital,
    count_word,
    counted,
    listed,
    number,
    tenths,
    with_unit,
)

STATE = {Answer.FITS: "Fits", Answer.MISFIT: "Doesn’t fit", Answer.UNKNOWN: "Unknown"}
NOT_NOTED = "not known"
_MADE_FOR_IT = "A supply that is made for excursions by the design guide of ATX supplies, version 3,"
MAKER_FIRST = (
    "The makers have the last word on every one of these: look at their lists and limits for the exact model "
    "and revision before you buy or build. A rule that fits is no promise."
)


def by_rule(found: Sequence[Fit]) -> dict[str, tuple[Fit, ...]]:
    """Answers by the rule that they are of, in the order of the rules."""
    grouped: dict[str, list[Fit]] = {}
    for each in found:
        grouped.setdefault(each.rule.key, []).append(each)
    return {key: tuple(own) for key, own in grouped.items()}


def rule_answers(found: Sequence[Fit]) -> dict[str, Answer]:
    """What each rule that was asked comes to."""
    return {key: worst(each.answer for each in own) for key, own in by_rule(found).items()}


def fit_sentence(found: Sequence[Fit]) -> str:
    """What all rules together say of a build.

    >>> fit_sentence(())
    'Unknown: no rule could be asked. Note its parts first.'
    """
    answers = rule_answers(found)
    every = len(answers)
    if not answers:
        return "Unknown: no rule could be asked. Note its parts first."
    wrong = tuple(own[0].rule for key, own in by_rule(found).items() if answers[key] is Answer.MISFIT)
    open_ = sum(answer is Answer.UNKNOWN for answer in answers.values())
    if wrong:
        asked = f"Doesn’t fit by {_of(len(wrong), every)}: {' '.join(f'{rule.asks} No.' for rule in wrong)}"
        return f"{asked} {capital(_unknown(open_))}." if open_ else asked
    if open_:
        fits = every - open_
        others = f" By the other {count_word(fits)} it fits." if fits else ""
        return f"Unknown: {_of(open_, every)} {'lacks' if open_ == 1 else 'lack'} a fact.{others}"
    return f"Fits by all {count_word(every)} rules asked." if every > 1 else "Fits by the one rule asked."


def _unknown(count: int) -> str:
    return f"{counted(count, 'rule')} {'lacks' if count == 1 else 'lack'} a fact"


def _of(count: int, every: int) -> str:
    return f"{count_word(count)} of {count_word(every)} rules" if every > 1 else "the one rule asked"


def unasked_sentence(kinds: Iterable[str]) -> str:
    """The rules that a build of these kinds of parts is not asked by, and for want of what; "" for none."""
    there = set(kinds)
    lacking = [rule for rule in rules() if not there.issuperset(rule.of)]
    if not lacking:
        return ""
    missing = tuple(dict.fromkeys(kind for rule in lacking for kind in rule.of if kind not in there))
    are = "is" if len(missing) == 1 and not missing[0].endswith("s") else "are"
    return (
        f"Not asked: {counted(len(lacking), 'rule')}, since no {listed(missing, 'and no')} {are} on record."
    )


def builds_sentence(named: Sequence[tuple[str, Answer]]) -> str:
    """Which builds fit, supply and all, which don't, and of which something is not known; "" of none.

    >>> builds_sentence((("Wren", Answer.FITS), ("Plover", Answer.UNKNOWN)))
    'Wren fits by every rule asked, and its supply bears it. Of Plover something is not known yet.'
    """
    by = {answer: tuple(isolated(name) for name, own in named if own is answer) for answer in Answer}
    said = []
    if misfits := by[Answer.MISFIT]:
        said.append(f"{listed(misfits)} {'doesn’t' if len(misfits) == 1 else 'don’t'} fit.")
    if fitting := by[Answer.FITS]:
        one = len(fitting) == 1
        borne = "its supply bears it" if one else "their supplies bear them"
        said.append(f"{listed(fitting)} {'fits' if one else 'fit'} by every rule asked, and {borne}.")
    if unknown := by[Answer.UNKNOWN]:
        said.append(f"Of {listed(unknown)} something is not known yet.")
    return " ".join(said)


def assumed_words(taken: Assumed) -> tuple[str, ...]:
    """What the power budget assumes where nothing better is known, a sentence each."""
    rest = listed(tuple(f"{watts(each)} {_each(kind)}" for kind, each in taken.rest_w.items()))
    shares = tuple(f"{kind} {_shares(own)}" for kind, own in taken.draws.items())
    short = "What a processor’s maker says for a short while goes before that where it is more."
    old = f"one of unknown age fits only where it would at {as_written(taken.old_years)} years"
    return (
        f"Of what says nothing of its own power: {rest}.",
        f"What a part may draw for short, as a multiple of its power for long: {'; '.join(shares)}. {short}",
        f"{_MADE_FOR_IT} bears its rating {_shares(taken.bears)}; any other one is promised no more.",
        f"A supply loses {tenths(taken.lost_a_year)} of its rating a year; {old}.",
        "All parts draw their most at once, which is the worst case.",
        "Better known is better: what is noted of a part’s own power by milliseconds goes before this.",
    )


def _each(kind: str) -> str:
    return {"memory": "a set of memory", "fans": "a set of fans", "storage": "a drive"}.get(kind, f"a {kind}")


def _shares(shares: Mapping[float, float]) -> str:
    return listed(
        tuple(
            f"{as_written(share)} times for {with_unit(as_written(ms), 'ms')}" for ms, share in shares.items()
        )
    )


def wall_words(wall_w: float, efficiency: float | None, label: str) -> str:
    """What was read at the wall, and what of it counts."""
    read = f"The most that was read at the wall is {watts(wall_w)}, in {isolated(label)}"
    if efficiency is None:
        return (
            f"{read}. What the supply hands on of it is not on record: all of it is taken, which is too much."
        )
    return f"{read}; the supply hands on {tenths(efficiency)} of it, {watts(wall_w * efficiency)}."


def open_words(fit: Fit) -> str:
    """Why a rule of which nothing is missing cannot be answered all the same; "" elsewhere."""
    if fit.answer is not Answer.UNKNOWN or fit.missing:
        return ""
    return "What is on record does not settle it: ask the maker, or note it more exactly."


def seen_words(seen: Seen) -> str:
    """A fact that an answer rests on, with whose it is."""
    return f"{isolated(seen.part.name)}, {seen.fact.name}: {value_words(seen.fact, seen.value)}"


def value_words(fact: FactKind, value: Any) -> str:
    r"""A value as it is read.

    >>> fact = FactKind(kind="case", key="x", sort=Sort.NUMBER, name="x", where="", unit="mm")
    >>> value_words(fact, 158.5), value_words(fact, None)
    ('158.5\xa0mm', 'not known')
    """
    if value is None:
        return NOT_NOTED
    match fact.sort:
        case Sort.YES:
            return "yes" if value else "no"
        case Sort.NUMBER | Sort.COUNT:
            return with_unit(as_written(float(value)), fact.unit)
        case Sort.WORDS:
            return ", ".join(map(isolated, value)) or "none"
        case Sort.TABLE:
            return "; ".join(f"{isolated(key)}: {isolated(each)}" for key, each in value.items()) or "none"
        case Sort.BY_MS:
            return _shares({float(ms): times for ms, times in value.items()}) or "none"
        case Sort.BY_LOAD:
            told = (
                f"{with_unit(as_written(each), '%')} at {with_unit(load, '%')}"
                for load, each in value.items()
            )
            return listed(tuple(told)) or "none"
        case Sort.PLACES:
            return "; ".join(map(_place_words, value)) or "none"
        case Sort.WORD:
            return isolated(str(value))


def _place_words(place: Mapping[str, Any]) -> str:
    inner = ", ".join(
        f"{key.replace('_', ' ')} {_inner(value)}" for key, value in place.items() if key != "name"
    )
    return f"{isolated(str(place['name']))} ({inner})" if inner else isolated(str(place["name"]))


def _inner(value: Any) -> str:
    return ("+".join(map(str, value)) or "none") if isinstance(value, list | tuple) else str(value)


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


def rule_title(rule: Rule, fits: Sequence[Fit]) -> str:
    """What a rule asks, and of which parts."""
    parts = tuple(dict.fromkeys(part.name for fit in fits for part in fit.parts))
    return f"{rule.asks} {listed(tuple(map(isolated, parts)))}."
