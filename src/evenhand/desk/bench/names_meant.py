"""Which tests and setups of a study a file is of, by what came with it and by the words of its name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from evenhand.desk.bench.names_said import places_of, words_of
from evenhand.desk.bench.told import Told
from evenhand.desk.on_record import StudyOnRecord
from evenhand.records.studies import Study


def not_of(study: Study, told: Told) -> str:
    """What a file says of itself that this study does not have; "" where nothing."""
    said = (("test", told.test, study.tests), ("setup", told.setup, study.setups))
    return " and ".join(
        f"it says {what} '{key}', which {study.key} does not hold"
        for what, key, own in said
        if key and key not in own
    )


def meant(record: StudyOnRecord, told: Told, words: Sequence[str]) -> tuple[frozenset[str], frozenset[str]]:
    """The tests and setups that a file may be of: what came with it binds, else its name's words say."""
    tests, setups = named(words, record)
    return frozenset((told.test,)) if told.test else tests, frozenset((told.setup,)) if told.setup else setups


def named(words: Sequence[str], record: StudyOnRecord) -> tuple[frozenset[str], frozenset[str]]:
    """The tests and setups whose key or name stands in these words; a longer name goes before a shorter.

    A setup also answers to its build, as long as no other setup of it is compared.
    """
    tests = {key: (key, record.tests[key].name) for key in record.study.tests}
    setups = {key: (key, record.setups[key].name, *_build_of(record, key)) for key in record.study.setups}
    return _standing_in(words, tests), _standing_in(words, setups)


def _build_of(record: StudyOnRecord, setup: str) -> tuple[str, str]:
    build = record.builds[record.setups[setup].build]
    return build.key, build.name


def _standing_in(words: Sequence[str], names: Mapping[str, Iterable[str]]) -> frozenset[str]:
    lengths = {key: max(_length_in(words, words_of(name)) for name in said) for key, said in names.items()}
    most = max(lengths.values(), default=0)
    return frozenset(key for key, length in lengths.items() if length == most > 0)


def _length_in(words: Sequence[str], name: Sequence[str]) -> int:
    """How many words of a name stand in a row in these words: all of them, or none."""
    return len(name) if places_of(name, words) else 0
