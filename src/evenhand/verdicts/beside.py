"""What else was measured of a pair, place by place: called, not settled, refused and why, or not read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.findings.finding import Finding
from evenhand.findings.gaps import Gap, Topic
from evenhand.metrics.wall import FRAME_ENERGY
from evenhand.verdicts.backing import SIDES, Backing, of, pair_slots, sentence
from evenhand.verdicts.claim_words import WHERE_TEST
from evenhand.verdicts.claims import As, Kind, Said
from evenhand.verdicts.claims_evidence import (
    UNITS,
    ends_of,
    gap_sentence,
    in_place,
    placed_why,
    power_sentence,
    tests_unread,
    watts_of,
)

NOT_READ = "not-read"
FRAMES = "frames"
"""Energy for each frame, beside the kinds of sentences that are judged."""
TOPICS = {Kind.NOISE: Topic.SOUND, Kind.HEAT: Topic.TEMPERATURE}


def beside(backing: Backing) -> Mapping[str, tuple[Said, ...]]:
    """A sentence for each place with noise, heat, power or energy a frame: what is called first.

    None where nothing was measured.
    """
    told = {kind.value: _of_topic(topic, backing) for kind, topic in TOPICS.items()}
    watts = _of_wall("power", watts_of(backing), tests_unread(backing), backing)
    return {**told, Kind.POWER.value: watts, FRAMES: _of_frames(backing)}


def _of_wall(
    about: str, found: Sequence[Finding], unread: Sequence[str], backing: Backing
) -> tuple[Said, ...]:  # fmt: skip
    """Findings of what is read at the wall as sentences, and the tests in which nobody read it."""
    told = [power_sentence(f, backing, about=about) or _open_power(f, backing, about) for f in found]
    if unread:
        words = sentence("place-unread").words.replace("{where}", WHERE_TEST)
        told.append(Said(key="place-unread", words=words, slots={"tests": of(As.TEST, *unread)}))
    return tuple(told)


def _of_frames(backing: Backing) -> tuple[Said, ...]:
    """Energy for each frame, where watts were read of runs with frames; scores have none."""
    found = watts_of(backing, FRAME_ENERGY)
    read = {finding.test for finding in found}
    lacking = [f.test for f in backing.findings if f.test in backing.framed and f.test not in read]
    return _of_wall("frame", found, lacking if found else (), backing)


def _of_topic(topic: Topic, backing: Backing) -> tuple[Said, ...]:
    own = [g for g in backing.gaps if g.topic is topic and (g.a, g.b) == (backing.a, backing.b)]
    own.sort(key=lambda gap: (gap.why is not None, gap.outcome not in SIDES))
    return () if all(map(_unread, own)) else tuple(_of_gap(gap, backing) for gap in own)


def _unread(gap: Gap) -> bool:
    """Whether nobody read anything there on either side."""
    return gap.why is not None and gap.why.key == NOT_READ and {gap.a, gap.b} <= set(gap.why.setups)


def _of_gap(gap: Gap, backing: Backing) -> Said:
    if _unread(gap):
        return in_place(sentence("place-unread"), gap)
    if gap.why is not None:
        why = placed_why(gap)
        return Said(key="place-refused", words=f"{why.words}.", slots=why.slots)
    return gap_sentence(gap, backing) or _open_gap(gap)


def _open_gap(gap: Gap) -> Said:
    """A difference that is not settled, told of the side that reads better."""
    d = gap.difference or 0.0
    front, other = (gap.b, gap.a) if d > 0 else (gap.a, gap.b)
    unit, sound = UNITS[gap.topic], gap.topic is Topic.SOUND
    slots = {
        "front": of(As.SETUP, front),
        "other": of(As.SETUP, other),
        unit.value: of(unit, abs(d), *ends_of(gap)),
    }
    if not sound:
        slots["parts"] = of(As.PART, gap.part)
    return in_place(sentence("quieter-open" if sound else "cooler-open", **slots), gap)


def _open_power(finding: Finding, backing: Backing, about: str) -> Said:
    """Watts, or joules a frame, that are not settled: where a stands to b, as far as a spread is known."""
    slots = {**pair_slots(backing), "tests": of(As.TEST, finding.test)}
    if finding.low is None or finding.high is None:
        return sentence(f"{about}-open-alone", **slots)
    return sentence(f"{about}-open", **slots, range=of(As.RANGE, 1 / finding.high, 1 / finding.low))
