"""How setups and tests are called in pictures and sentences, and the slot each setup wears."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from evenhand.publish.direction import isolated
from evenhand.publish.faces import STAND_IN, drawable
from evenhand.publish.numbers import capital, listed
from evenhand.publish.palette import Slot, slot


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupName:
    """A setup as readers know it, and its colour slot, 1 to 5.

    `machine` is the name without the driver or the like that sets it apart from itself under another one; ""
    where that is the same.
    """

    name: str
    slot: int
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TestName:
    """A test as readers know it, and the unit of its headline number."""

    __test__ = False  # tells pytest that this is not a test of ours

    name: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedWords:
    """What a picture's foot says of terms and of scores that were changed with runs on record: sentences."""

    terms: tuple[str, ...] = ()
    scores: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.terms or self.scores)

    def by_length(self) -> tuple[tuple[str, ...], ...]:
        """All of it, then in fewer words, then in fewest; each still says what sort of thing changed.

        >>> ChangedWords(scores=("Two scores changed after they were in.",)).by_length()[-1]
        ('Scores changed after runs were on record.',)
        """
        brief = ("Terms changed after runs were on record.",) if self.terms else ()
        sorts = [sort for sort, said in (("terms", self.terms), ("scores", self.scores)) if said]
        both = (f"{capital(listed(tuple(sorts)))} changed after runs were on record.",) if sorts else ()
        return (*self.terms, *self.scores), (*brief, *self.scores), both


NOTHING_CHANGED = ChangedWords()
KEYS_STAND = "Keys stand for names of which the fonts lack letters."


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """Words for keys. A key without words stands for itself, and a setup without a slot wears the first.

    `groups` names the indexes ("games": "Games"); `terms` is what every picture says at its foot
    of the conditions ("Mild tune, 24 °C"), and `changed` what it says there of terms and scores that were
    changed with runs on record ("Margin changed after 12 runs."). `measured` says which tests are measured in
    part, in full and then in few words, as sentences. A name written from right to left is told so that it
    turns nothing beside it, but where it is `as_typed`, to be found in what people write. `others` names what
    else a picture tells of, by key: audiences and parts.

    >>> names = Names(setups={"p": SetupName(name="Plover", slot=2)}, tests={})
    >>> names.setup("p"), names.setup("x"), names.test("tram")
    ('Plover', 'x', 'tram')
    """

    setups: Mapping[str, SetupName]
    tests: Mapping[str, TestName]
    groups: Mapping[str, str] = field(default_factory=dict)
    terms: str = ""
    changed: ChangedWords = NOTHING_CHANGED
    measured: tuple[str, ...] = ()
    stand_ins: Mapping[str, str] = field(default_factory=dict)
    as_typed: bool = False
    others: Mapping[str, str] = field(default_factory=dict)

    def drawn(self) -> Names:
        """The same with keys for names of which the fonts lack most letters; `stand_ins` holds those names.

        >>> names = Names(setups={"beetle": SetupName(name="Жук", slot=1)}, tests={}).drawn()
        >>> names.setup("beetle"), names.told
        ('beetle', ('beetle stands for Жук, of which the fonts lack letters.',))
        """
        setups = _undrawable({k: n.name for k, n in self.setups.items()})
        tests = _undrawable({k: n.name for k, n in self.tests.items()})
        groups, others = _undrawable(self.groups), _undrawable(self.others)
        return replace(
            self,
            setups={k: replace(n, name=k, machine="") if k in setups else n for k, n in self.setups.items()},
            tests={k: replace(n, name=k) if k in tests else n for k, n in self.tests.items()},
            groups={k: k if k in groups else n for k, n in self.groups.items()},
            others={k: k if k in others else n for k, n in self.others.items()},
            stand_ins=setups | tests | groups | others,
        )

    @property
    def told(self) -> tuple[str, ...]:
        """Which keys stand for names that cannot be drawn, as sentences."""
        return tuple(
            f"{key} stands for {isolated(name)}, of which the fonts lack letters."
            for key, name in self.stand_ins.items()
        )

    @property
    def keys_told(self) -> tuple[str, ...]:
        """What a picture's foot says where keys stand for names, or nothing."""
        return (KEYS_STAND,) if self.stand_ins else ()

    @property
    def terms_told(self) -> tuple[str, ...]:
        """The conditions as a sentence of a foot, or none.

        >>> Names(setups={}, tests={}, terms="room 22.9 to 26 °C").terms_told
        ('Room 22.9 to 26 °C.',)
        """
        return (f"{capital(self.terms.rstrip('.'))}.",) if self.terms else ()

    def shortened(self, most: int = 14, *, tests: bool = False) -> Names:
        """The same with setups' names cut to about `most` characters, for where the full ones do not fit.

        With `tests` the names of tests are cut as well.
        """
        setups = {k: replace(n, name=_short(n.name, most)) for k, n in self.setups.items()}
        of_tests = {k: replace(n, name=_short(n.name, most)) for k, n in self.tests.items()}
        return replace(self, setups=setups, tests=of_tests if tests else self.tests)

    def setup(self, key: str) -> str:
        """The setup's name."""
        return self._told(self.setups[key].name if key in self.setups else key)

    def apart(self, key: str, other: str) -> str:
        """What tells a setup from another in few words: its state, where both are states of one machine.

        >>> own = {"t": SetupName(name="Gull, mild tune", slot=1), "s": SetupName(name="Gull, stock", slot=2)}
        >>> Names(setups=own, tests={}).apart("t", "s"), Names(setups=own, tests={}).apart("t", "owl")
        ('Mild tune', 'Gull, mild tune')
        """
        name, (machine, between, state) = self.setup(key), self.setup(key).partition(", ")
        alike = state and self.setup(other).startswith(machine + between)
        return capital(state) if alike else name

    def machine(self, key: str) -> str:
        """The machine that a setup is, under whatever driver or system.

        >>> one = SetupName(name="Gull, driver 1", slot=1, machine="Gull")
        >>> Names(setups={"g": one}, tests={}).machine("g")
        'Gull'
        """
        named = self.setups.get(key)
        return self._told(named.machine) if named and named.machine else self.setup(key)

    def slot(self, key: str) -> Slot:
        """The setup's slot; the first where none was given."""
        return slot(self.setups[key].slot) if key in self.setups else slot(1)

    def test(self, key: str) -> str:
        """The test's name."""
        return self._told(self.tests[key].name if key in self.tests else key)

    def unit(self, key: str) -> str:
        """The unit of the test's headline number."""
        return self.tests[key].unit if key in self.tests else ""

    def group(self, key: str) -> str:
        """The group's name, as it stands in a sentence ("games")."""
        return self._told(self.groups.get(key, key))

    def other(self, key: str) -> str:
        """The name of an audience or a part."""
        return self._told(self.others.get(key, key))

    def _told(self, name: str) -> str:
        return name if self.as_typed else isolated(name)


def _undrawable(named: Mapping[str, str]) -> dict[str, str]:
    """The names most of whose letters or signs the fonts lack, by keys that can be drawn."""
    return {k: n for k, n in named.items() if _mostly_lost(n) and not _lost(k)}


def _mostly_lost(name: str) -> bool:
    """Whether little of a name would be left: figures and brackets beside its letters do not tell it."""
    letters = "".join(filter(str.isalpha, name))
    return 2 * _lost(name) > len(name) or 2 * _lost(letters) > len(letters)


def _lost(name: str) -> int:
    """How many signs of a name would be drawn as a stand-in."""
    return drawable(name).count(STAND_IN) - name.count(STAND_IN)


def _short(name: str, most: int) -> str:
    """A name cut short; a number at its end stays, by which names of one series are told apart."""
    last = re.search(r" \d{1,4}\Z", name)
    kept = last[0] if last else ""
    return name if len(name) <= most else f"{name[: most - 1 - len(kept)].rstrip()}…{kept}"
