"""Parts that came on loan, as a gift or against pay, and are named without a word of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from evenhand.prose.ground import Ground
from evenhand.prose.mentions import Signed
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.records.builds import Part
from evenhand.records.publications import How

Span = tuple[int, int]  # from where to where in a sentence whose names are signs
PRAISES = SIDED | {"first"}
LONGEST = 800  # characters of a sentence that is read; people speak in some hundred


def undisclosed(
    reading: Reading, named: Sequence[tuple[Part, Span]], every: Sequence[Signed], *, told: set[str]
) -> Iterator[Objection]:
    """Disclosures on record of parts that a sentence is about, where the whole script has no word of them."""
    for part, at in named:
        for how in reading.ground.disclosures.get(part.key, ()):
            mark = f"{part.key} {how}"
            if mark in told:
                continue
            told.add(mark)
            if not any(discloses(sentence, part, how, reading.rules) for sentence in every):
                yield _objection(part, how, at, reading)


def untold(every: Sequence[Signed], ground: Ground, rules: Rules) -> Iterator[tuple[Part, How]]:
    """Disclosures on record that no sentence of a script has a word of, whether it names the part or not."""
    for part in ground.parts:
        for how in ground.disclosures.get(part.key, ()):
            if not any(discloses(sentence, part, how, rules) for sentence in every):
                yield part, how


def parts_named(reading: Reading) -> Iterator[tuple[Part, Span]]:
    """The parts that a sentence names: by name, or by their kind beside the setup that they sit in."""
    sentence, ground = reading.sentence, reading.ground
    by_key = {part.key: part for part in ground.parts}
    for mention in sentence.of(Named.PART):
        yield by_key[mention.key], (mention.at, mention.at + 1)
    setups = sentence.keys(Named.SETUP) or reading.context.recent[:1]
    for mention in sentence.of(Named.KIND):
        for key in dict.fromkeys(key for setup in setups for key in ground.inside.get(setup, ())):
            if key in by_key and by_key[key].kind == mention.key:
                yield by_key[key], (mention.at, mention.at + 1)


def parts_praised(reading: Reading, claims: Iterable[Claim]) -> Iterator[tuple[Part, Span]]:
    """The parts of the setups that a sentence puts ahead: who lent or gave one has a stake in it."""
    by_key = {part.key: part for part in reading.ground.parts}
    for claim in claims:
        if claim.rule.says in PRAISES and not claim.denied:
            for key in (key for setup in claim.better for key in reading.ground.inside.get(setup, ())):
                if key in by_key:
                    yield by_key[key], claim.span


def discloses(sentence: Signed, part: Part, how: How, rules: Rules) -> bool:
    """Whether a sentence says how the reviewer came by a part: it names the part, its kind or its maker."""
    denied = rules["disclosing.denied"].search(sentence.text)
    if denied or not rules[f"disclosing.{how}"].search(sentence.text):
        return False
    maker = part.name.split()[0].casefold()
    return (
        part.key in sentence.keys(Named.PART)
        or part.kind in sentence.keys(Named.KIND)
        or maker in sentence.text.casefold().split()
        or bool(rules["disclosing.all_parts"].search(sentence.text))
    )


def _objection(part: Part, how: How, at: Span, reading: Reading) -> Objection:
    place, excerpt = place_of(at, reading)
    rules = reading.rules
    return Objection(
        rule=Rule.UNDISCLOSED, place=place, excerpt=excerpt,
        reason=rules.words("undisclosed", part=part.name, how=rules.said[f"how_{how}"]),
        would_stand=rules.words("disclose", part=part.name, meaning=rules.said[f"means_{how}"], by=""),
    )  # fmt: skip
