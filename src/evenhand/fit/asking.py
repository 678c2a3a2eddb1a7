"""Ask every rule of the parts of one build: fits, doesn't, or unknown, and what that rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from evenhand.fit import cards, cooling, drives, feeding, memory, plugs, starting
from evenhand.fit.answers import Answer, worst
from evenhand.fit.reading import Item, Reading, Seen
from evenhand.fit.rules import Both, Rule, rules
from evenhand.fit.said import Said, Work
from evenhand.fit.words import is_in, word


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What one rule says of the parts that it was asked of.

    `seen` are the facts that it rests on, `missing` those that are not known, none for a fit. `remark` is
    said beside a fit, `todo` is what can be done about a misfit.
    """

    rule: Rule
    parts: tuple[Item, ...]
    answer: Answer
    seen: tuple[Seen, ...]
    missing: tuple[Seen, ...] = ()
    remark: str = ""
    todo: str = ""


WORKS: Mapping[str, Work] = {
    "firmware": starting.firmware,
    "picture": starting.picture,
    "memory_size": memory.size,
    "memory_speed": memory.speed,
    "graphics_slot": cards.slot,
    "graphics_length": cards.length,
    "graphics_height": cards.height,
    "graphics_thickness": cards.thickness,
    "cooler_memory": cooling.over_memory,
    "radiator": cooling.radiator,
    "supply_format": feeding.held,
    "supply_graphics": feeding.graphics,
    "graphics_power": feeding.drawn,
    "drive_places": drives.places,
    "drive_bays": drives.bays,
    "drive_power": drives.power,
    "fan_headers": plugs.fans,
    "lights": plugs.lights,
    "front_leads": plugs.front,
}


def fits(build: Sequence[Item]) -> tuple[Fit, ...]:
    """Every rule that is asked of a build, in their order; of each pair that it is asked of, an answer."""
    return tuple(fit for rule in rules() for fit in asked(rule, build))


def answer_of(found: Sequence[Fit]) -> Answer:
    """What many answers come to."""
    return worst(each.answer for each in found)


def asked(rule: Rule, build: Sequence[Item]) -> Iterator[Fit]:
    """What one rule says of a build; nothing where it is not asked of it."""
    by_kind = {kind: [each for each in build if each.kind == kind] for kind in rule.of}
    if not all(by_kind.values()):
        return
    if rule.work:
        for parts, said in WORKS[rule.work](rule, build):
            yield _fit(rule, parts, said)
    elif rule.total:
        whole = tuple(each for own in by_kind.values() for each in own)
        yield _fit(rule, whole, _together(rule, build))
    else:
        for pair in product(*by_kind.values()):
            found = _between(rule, pair)
            if found is not None:
                yield _fit(rule, pair, found)


def _fit(rule: Rule, parts: tuple[Item, ...], said: Said) -> Fit:
    missing = said.read.missing
    answer = Answer.MISFIT if said.misfit else Answer.UNKNOWN if missing or said.open else Answer.FITS
    return Fit(
        rule=rule, parts=parts, answer=answer, seen=said.read.seen, missing=missing,
        remark=rule.remark.format(**said.remark) if said.remark and answer is Answer.FITS else "",
        todo=rule.todo.get(said.todo, "") if answer is Answer.MISFIT else "",
    )  # fmt: skip


def _between(rule: Rule, pair: tuple[Item, ...]) -> Said | None:
    """What facts say of one pair; None where the rule is not asked of a cooler of this way."""
    read, of = Reading(), {each.kind: each for each in pair}
    if rule.way:
        way = read.of(of["cooler"], "way")
        if way is not None and word(way) != rule.way:
            return None

    def values(both: Both) -> tuple[object, object] | None:
        one, other = (read.of(of[kind], fact) for kind, fact in both)
        return None if one is None or other is None else (one, other)

    wrong = [
        *(word(str(v[0])) != word(str(v[1])) for each in rule.same if (v := values(each))),
        *(not is_in(str(v[0]), v[1]) for each in rule.among if (v := values(each))),  # type: ignore[arg-type]
        *(v[0] > v[1] for each in rule.at_most if (v := values(each))),  # type: ignore[operator]
    ]
    return Said(read, misfit=any(wrong))


def _together(rule: Rule, build: Sequence[Item]) -> Said:
    """What all parts of a kind have, against what one of another kind has room for."""
    read, wrong = Reading(), []
    for (kind, fact), (holder, room) in rule.total:
        needed = read.total([each for each in build if each.kind == kind], fact)
        for each in build:
            if each.kind == holder and (there := read.of(each, room)) is not None:
                wrong.append(needed > there)
    return Said(read, misfit=any(wrong))
