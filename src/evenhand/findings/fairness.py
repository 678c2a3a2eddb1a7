"""What differs between two setups, one thing at a time: the question, an accident, or not to be read."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.findings.finding import Caveat
from evenhand.findings.machines import Machine, comes_with, quantity, same_values, setting_name
from evenhand.findings.rooms import bench_differences
from evenhand.findings.unlikes import Aspect, Mark, Unlike

TEST_STAMPS = frozenset({"version", "resolution", "settings", "quality", "scene"})
"""What a test fixes: where it differs no ratio is formed at all, see `refusals`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fairness:
    """Two setups held against each other: what is unlike, and by name what was found alike."""

    a: str
    b: str
    unlikes: tuple[Unlike, ...]
    alike: tuple[str, ...]
    caveats: tuple[Caveat, ...] = ()

    def marked(self, mark: Mark) -> tuple[Unlike, ...]:
        """What is unlike in this way."""
        return tuple(unlike for unlike in self.unlikes if unlike.mark is mark)


def fairness(a: Machine, b: Machine) -> Fairness:
    """Everything on record in which two setups differ, each marked; and what they have in common.

    Parts that differ are the question. A state is the question where the parts are the same, else an accident
    beside them. A stamp is an accident unless it comes with a part that differs (a board's firmware, a
    processor's clock, voltage or power) or, being such a number, with the state. Where runs of a side
    disagree among themselves, or a side says nothing, it could not be read.

    >>> from evenhand.records.builds import Build, Part, Setup
    >>> parts = {key: Part(key=key, kind="graphics", name=key) for key in ("g0", "g1")}
    >>> a, b = (
    ...     Machine(setup=Setup(key=x, name=x, build=x, stamps={"driver": driver}),
    ...             build=Build(key=x, name=x, slot=1, parts=(part,)), parts=parts)
    ...     for x, part, driver in (("wren", "g0", "31.4"), ("plover", "g1", "31.6")))
    >>> [(u.name, str(u.mark)) for u in fairness(a, b).unlikes]
    [('graphics', 'question'), ('driver', 'accident')]
    """
    held = [*_parts(a, b)]
    held += _state(a, b, _unlike(held))
    held += [*_stamps(a, b, _unlike(held)), *bench_differences(a, b)]
    unlikes = _unlike(held)
    return Fairness(
        a=a.key, b=b.key, unlikes=unlikes, alike=tuple(h for h in held if isinstance(h, str)),
        caveats=_caveats(a, b, unlikes),
    )  # fmt: skip


def _unlike(held: Sequence[Unlike | str]) -> tuple[Unlike, ...]:
    return tuple(h for h in held if isinstance(h, Unlike))


def _parts(a: Machine, b: Machine) -> Iterator[Unlike | str]:
    """Every kind of part that either build has; by name only where both have the same."""
    of_a, of_b = a.by_kind(), b.by_kind()
    for kind in dict.fromkeys([*of_a, *of_b]):
        x, y = of_a.get(kind, ()), of_b.get(kind, ())
        lacking = tuple(m.key for m, keys in ((a, x), (b, y)) if not keys)
        mark, words = (Mark.UNREAD, f"no {kind} on record") if lacking else (Mark.QUESTION, "")
        unlike = Unlike(aspect=Aspect.PART, name=kind, a=x, b=y, mark=mark, words=words, lacking=lacking)
        yield kind if x == y else unlike


def _state(a: Machine, b: Machine, parts: Sequence[Unlike]) -> list[Unlike | str]:
    x, y = (a.setup.state,), (b.setup.state,)
    if same_values(x, y):
        return ["state"]
    mark, words = (
        (Mark.ACCIDENT, "parts differ as well, so that neither is seen by itself")
        if parts
        else (Mark.QUESTION, "")
    )
    return [Unlike(aspect=Aspect.STATE, name="state", a=x, b=y, mark=mark, words=words)]


def _stamps(a: Machine, b: Machine, before: Sequence[Unlike]) -> Iterator[Unlike | str]:
    of_a, of_b = a.stamps(), b.stamps()
    kinds = {*a.by_kind(), *b.by_kind()}
    for name in dict.fromkeys([*of_a, *of_b]):
        if name not in TEST_STAMPS:
            sides = _side(a, of_a, name), _side(b, of_b, name)
            yield _stamp(setting_name(name, kinds), *sides, before=before)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    setup: str
    values: tuple[str, ...]


def _side(machine: Machine, stamps: dict[str, tuple[str, ...]], name: str) -> _Side:
    return _Side(setup=machine.key, values=stamps.get(name, ()))


def _stamp(name: str, a: _Side, b: _Side, *, before: Sequence[Unlike]) -> Unlike | str:
    lacking = tuple(side.setup for side in (a, b) if not side.values)
    mixed = tuple(side.setup for side in (a, b) if len(side.values) > 1)
    if not lacking and not mixed and same_values(a.values, b.values):
        return name
    mark, words = _mark(name, (*a.values, *b.values), before)
    if lacking:
        mark, words = Mark.UNREAD, f"no {name} on record"
    elif mixed:
        mark, words = Mark.UNREAD, f"runs do not agree on the {name}"
    return Unlike(
        aspect=Aspect.STAMP, name=name, a=a.values, b=b.values, mark=mark, words=words,
        lacking=lacking or mixed, log_ratio=_log_ratio(a.values, b.values),
    )  # fmt: skip


def _mark(name: str, values: tuple[str, ...], before: Sequence[Unlike]) -> tuple[Mark, str]:
    """The question where it comes with what is the question; else an accident."""
    with_it = comes_with(name, values, [u.name for u in before])
    carriers = [u for u in before if u.name in with_it]
    if carriers:
        accident = any(u.mark is not Mark.QUESTION for u in carriers)
        mark = Mark.ACCIDENT if accident else Mark.QUESTION
        return mark, f"comes with the {' and the '.join(u.name for u in carriers)}"
    return Mark.ACCIDENT, "not the question, and may move the numbers"


def _log_ratio(a: tuple[str, ...], b: tuple[str, ...]) -> float | None:
    """The log of a's number over b's, where both sides tell one number in one quantity."""
    if len(a) != 1 or len(b) != 1:
        return None
    x, y = quantity(a[0]), quantity(b[0])
    if x is None or y is None or x.unit.quantity != y.unit.quantity or not (x.value > 0 and y.value > 0):
        return None
    return math.log(x.value / y.value)


def _caveats(a: Machine, b: Machine, unlikes: Sequence[Unlike]) -> tuple[Caveat, ...]:
    """What stands of the whole: unknown parts, one setup twice, or nothing that differs."""
    machines = (a,) if a.key == b.key else (a, b)
    found = [caveat for machine in machines if (caveat := _of_parts(machine))]
    if a.key == b.key:
        words = "{setups[0]} is held against itself: whatever differs is chance"
        found.append(Caveat(key=SAME_SETUP, words=words, setups=(a.key,)))
    elif not any(map(_may_differ, unlikes)) and not _blank(a, b):
        words = (
            "nothing on record differs between {setups[0]} and {setups[1]}: one machine twice, "
            "or a difference that nobody wrote down"
        )
        found.append(Caveat(key=NOTHING_DIFFERS, words=words, setups=(a.key, b.key)))
    return tuple(found)


SAME_SETUP, NOTHING_DIFFERS, NO_PARTS = "same-setup", "nothing-differs", "no-parts"


def unread_parts(held: Fairness) -> tuple[Caveat, ...]:
    """By side the kinds of part that it does not list and the other does: they may be alike, or not."""
    unread = [u for u in held.marked(Mark.UNREAD) if u.aspect is Aspect.PART]
    found = []
    for setup in dict.fromkeys(s for unlike in unread for s in unlike.lacking):
        kinds = " or ".join(_plain(u.name) for u in unread if setup in u.lacking)
        words = f"of {{setups[0]}} no {kinds} is on record: which part made a difference cannot be said"
        found.append(Caveat(key="unread-parts", words=words, setups=(setup,)))
    return tuple(found)


def _blank(a: Machine, b: Machine) -> bool:
    """Whether two builds are held against each other of which one lists no parts: unknown is not alike."""
    return a.build.key != b.build.key and not (a.build.parts and b.build.parts)


def _may_differ(unlike: Unlike) -> bool:
    """Whether it tells, or a part that nobody wrote down leaves open, that the machines themselves differ."""
    read = unlike.mark is not Mark.UNREAD and unlike.aspect in (Aspect.STATE, Aspect.STAMP)
    return read or unlike.aspect is Aspect.PART


def _plain(words: str) -> str:
    """Keys and kinds are anybody's words: a brace in one must not read as a slot."""
    return words.replace("{", "{{").replace("}", "}}")


def _of_parts(machine: Machine) -> Caveat | None:
    if machine.unknown:
        words = f"parts that nobody described: {_plain(', '.join(machine.unknown))}"
        return Caveat(key="unknown-parts", words=words, setups=(machine.key,), each=True)
    if machine.build.parts:
        return None
    words = "no parts on record, so that no part can be named as a cause"
    return Caveat(key=NO_PARTS, words=words, setups=(machine.key,), each=True)
