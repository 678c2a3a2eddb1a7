"""Of three machines and more, for whom which: who is ahead of all the others, and by value, in a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.publish.direction import isolated
from evenhand.publish.doubt_words import but_doubted
from evenhand.publish.money_words import even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, listed
from evenhand.publish.sentences import over_bridge
from evenhand.publish.unmeasured_words import but_unmeasured
from evenhand.records.audiences import Audience
from evenhand.verdicts.among import Among, Front

Told = Sequence[tuple[Audience, Among]]
MOST = 2  # audiences that the answer speaks of: the first, and the first for which it is otherwise


def among_words(found: Among, names: Names) -> str:
    """Who is ahead of all others and who the better value beside all others, as a clause without a stop."""
    speed, money = found.ahead, found.value
    said = _by_speed(found, names)
    if money is None:
        return said + _left_out(found, names)
    if speed.first is not None and speed.first == money.first and len(money.setups) == len(speed.setups):
        return f"{said}, and the better value beside every other{_left_out(found, names)}"
    return f"{said}, {_link(found)} {_by_value(found, names)}{_left_out(found, names)}"


def _by_speed(found: Among, names: Names) -> str:
    return _ahead(found.ahead, names) + "".join(_reserved(found, names))


def _by_value(found: Among, names: Names) -> str:
    return "" if found.value is None else f"{_value(found.value, names)}{_of_priced(found)}"


def _link(found: Among) -> str:
    """How value follows on speed: "but" where somebody else comes first by it."""
    first = found.value.first if found.value else None
    return "but" if first is not None and first not in found.ahead.unbeaten else "and"


def value_among_words(found: Among, names: Names) -> str:
    """Who is the better value beside all others, as a clause; "" where no value is known."""
    return f"{_value(found.value, names)}{_of_priced(found)}" if found.value is not None else ""


def of_all_words(found: Among) -> str:
    """What stands over it: "Of all five"."""
    return f"Of all {count_word(len(found.ahead.setups) + len(found.left_out))}"


def among_answer(told: Told, names: Names, *, whole: bool = True) -> str:
    """What the first audience is told, and the first one that is told otherwise; all alike are told once.

    Another one ahead is told before another shade of the same answer. Reservations follow. `whole`: no
    audience of the study is missing.
    """
    said = {audience.key: among_words(found, names) for audience, found in told}
    first = told[0]
    others = [each for each in told if said[each[0].key] != said[first[0].key]]
    others.sort(key=lambda each: _nearness(each[1], first[1]))
    chosen = [first, *others[: MOST - 1]]
    if not others and len(told) > 1:
        everyone = "both audiences" if len(told) == MOST else "every audience"
        everyone = everyone if whole else "every audience that has a verdict"
        sentences = [f"{capital(said[first[0].key])}, for {everyone} alike."]
    elif len(told) == 1:
        sentences = [f"{isolated(first[0].name)}: {said[first[0].key]}."]
    else:
        told_two = (said[first[0].key], _beside(chosen[1][1], first[1], names))
        sentences = [f"{isolated(who.name)}: {it}." for (who, _), it in zip(chosen, told_two, strict=True)]
    return " ".join((*sentences, *_doubts(chosen, names)))


def among_lines(told: Told, names: Names) -> tuple[tuple[str, str], ...]:
    """Every audience with the sentence that it is told; those that are told the same stand together."""
    by_words: dict[str, list[str]] = {}
    for audience, found in told:
        by_words.setdefault(among_words(found, names), []).append(audience.name)
    return tuple((listed(tuple(map(isolated, who))), f"{capital(said)}.") for said, who in by_words.items())


def _beside(other: Among, first: Among, names: Names) -> str:
    """What another audience is told after the first: only its value where all else is the same."""
    speeds = (_by_speed(other, names), other.left_out), (_by_speed(first, names), first.left_out)
    if speeds[0] != speeds[1]:
        return among_words(other, names)
    return f"the same, but {_by_value(other, names) or 'nothing is said of value'}"


def _nearness(other: Among, first: Among) -> int:
    if other.ahead.unbeaten != first.ahead.unbeaten:
        return 0
    return 1 if _bought(other) != _bought(first) else 2


def _bought(found: Among) -> tuple[str, ...]:
    return found.value.unbeaten if found.value else ()


def _doubts(chosen: Told, names: Names) -> Iterator[str]:
    told = [(audience, verdict) for audience, found in chosen for verdict in found.verdicts]
    yield from dict.fromkeys(but_unmeasured(told, names))
    yield from but_doubted([caveat for _, verdict in told for caveat in verdict.caveats], names)


def _ahead(front: Front, names: Names) -> str:
    who, both = (listed(tuple(map(names.setup, front.unbeaten)), last) for last in ("or", "and"))
    if front.first is not None:
        return f"{who} is ahead of {_others(front, names)}"
    if front.level and len(front.unbeaten) == len(front.setups):
        return f"all {count_word(len(front.setups))} are level"
    if front.level:
        return f"{both} are level and ahead of {_others(front, names)}"
    if not front.unbeaten:
        return "each is behind another"
    if len(front.unbeaten) == len(front.setups):
        return "nobody is called ahead of another"
    return f"nobody is ahead of {who}" + (", nor is it ahead of all" if len(front.unbeaten) == 1 else "")


def _value(front: Front, names: Names) -> str:
    who = listed(tuple(map(names.setup, front.unbeaten)), "or")
    if front.first is not None:
        return f"{who} is the better value beside every other"
    if front.level and len(front.unbeaten) == len(front.setups):
        return f"all are {even_words(value_open=False)}"
    if front.level:
        both = listed(tuple(map(names.setup, front.unbeaten)))
        return f"{both} are {even_words(value_open=False)} and better than the rest"
    if not front.unbeaten or len(front.unbeaten) == len(front.setups):
        return "none is the better value beside every other"
    return f"no other is better value than {who}"


def _others(front: Front, names: Names) -> str:
    """Everybody behind: by name where it is one."""
    rest = [setup for setup in front.setups if setup not in front.unbeaten]
    if len(rest) == 1:
        return names.setup(rest[0])
    return "both others" if len(rest) == 2 else f"all {count_word(len(rest))} others"


def _reserved(found: Among, names: Names) -> Iterator[str]:
    """Over whom the lead may be too small to matter, and whom a bridge joins."""
    if found.ahead.first is None:
        return
    rivals = [(v.b if v.a == found.ahead.first else v.a, v) for v in found.leads]
    small = tuple(names.setup(rival) for rival, verdict in rivals if verdict.perhaps_small)
    if small:
        yield f" (over {listed(small)} perhaps too little to matter)"
    yield from dict.fromkeys(filter(None, (over_bridge(verdict, names) for _, verdict in rivals)))


def _of_priced(found: Among) -> str:
    """That value is told of some only, where not all of them have one."""
    money = found.value
    if money is None or len(money.setups) == len(found.ahead.setups):
        return ""
    return f" of the {count_word(len(money.setups))} whose value is known"


def _left_out(found: Among, names: Names) -> str:
    if not found.left_out:
        return ""
    has = "has" if len(found.left_out) == 1 else "have"
    return f"; {listed(tuple(map(names.setup, found.left_out)))} {has} no verdict"
