"""How setups and tests are called in pictures and sentences, and the slot each setup wears."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from evenhand.publish.palette import Slot, slot


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupName:
    """A setup as readers know it, and its colour slot, 1 to 5."""

    name: str
    slot: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TestName:
    """A test as readers know it, and the unit of its headline number."""

    __test__ = False  # tells pytest that this is not a test of ours

    name: str
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """Words for keys. A key without words stands for itself, and a setup without a slot wears the first.

    `groups` names the indexes ("games": "Games"); `terms` is what every picture says at its foot
    of the conditions ("Mild tune, 24 °C"), and `changed` what it says there of terms that were changed
    with runs on record ("Margin changed after 12 runs.").

    >>> names = Names(setups={"p": SetupName(name="Plover", slot=2)}, tests={})
    >>> names.setup("p"), names.setup("x"), names.test("tram")
    ('Plover', 'x', 'tram')
    """

    setups: Mapping[str, SetupName]
    tests: Mapping[str, TestName]
    groups: Mapping[str, str] = field(default_factory=dict)
    terms: str = ""
    changed: tuple[str, ...] = ()

    def shortened(self, most: int = 14) -> Names:
        """The same with setups' names cut to about `most` characters, for where the full ones do not fit."""
        setups = {k: replace(n, name=_short(n.name, most)) for k, n in self.setups.items()}
        return replace(self, setups=setups)

    def setup(self, key: str) -> str:
        """The setup's name."""
        return self.setups[key].name if key in self.setups else key

    def slot(self, key: str) -> Slot:
        """The setup's slot; the first where none was given."""
        return slot(self.setups[key].slot) if key in self.setups else slot(1)

    def test(self, key: str) -> str:
        """The test's name."""
        return self.tests[key].name if key in self.tests else key

    def unit(self, key: str) -> str:
        """The unit of the test's headline number."""
        return self.tests[key].unit if key in self.tests else ""

    def group(self, key: str) -> str:
        """The group's name, as it stands in a sentence ("games")."""
        return self.groups.get(key, key)


def _short(name: str, most: int) -> str:
    return name if len(name) <= most else f"{name[: most - 1].rstrip()}…"
