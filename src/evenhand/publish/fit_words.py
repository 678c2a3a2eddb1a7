"""Whether parts go together, in words: never a fit where something is not known."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from evenhand.fit.answers import Answer, worst
from evenhand.fit.asking import Fit
from evenhand.fit.rules import Rule, rules
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import capital, count_word, counted, listed

STATE = {Answer.FITS: "Fits", Answer.MISFIT: "Doesn’t fit", Answer.UNKNOWN: "Unknown"}
MOST_TOLD = 3
"""So many misfits are told one by one where there are more than four: all of them stand below."""
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
        told = wrong if len(wrong) <= MOST_TOLD + 1 else wrong[:MOST_TOLD]
        asked = f"Doesn’t fit by {_of(len(wrong), every)}: {' '.join(f'{rule.asks} No.' for rule in told)}"
        if len(told) < len(wrong):
            asked = f"{asked} Nor by {count_word(len(wrong) - len(told))} others."
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


def open_words(fit: Fit) -> str:
    """Why a rule of which nothing is missing cannot be answered all the same; "" elsewhere."""
    if fit.answer is not Answer.UNKNOWN or fit.missing:
        return ""
    return "What is on record does not settle it: ask the maker, or note it more exactly."


def rule_title(rule: Rule, fits: Sequence[Fit]) -> str:
    """What a rule asks, and of which parts."""
    parts = tuple(dict.fromkeys(part.name for fit in fits for part in fit.parts))
    return f"{rule.asks} {listed(tuple(map(isolated, parts)))}."
