from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Caveat, Cell, Finding, Observation
from evenhand.publish.names import Names, SetupName, TestName
from evenhand.publish.reservations import caveats, how_many, on_a_picture, on_rates
from evenhand.records.studies import Study

SCATTER = Caveat(
    key="unequal-spread",
    words="{setups[0]} scatters by 1.9 %, {setups[1]} by 0.38 %: judged without pooling",
    setups=("plover", "dunlin"),
)


def of_side(setup: str, key: str, words: str, *, waiting: int = 0) -> Caveat:
    return Caveat(key=key, words=words, setups=(setup,), each=True, waiting=waiting)


ONE_BOOT = "all 4 runs come from one boot, and may share its error"
ONE_BOOT_A, ONE_BOOT_B = (of_side(setup, "one-boot", ONE_BOOT) for setup in ("plover", "dunlin"))
UNPLACED = of_side("plover", "boots-unknown", "4 of 4 runs have no boot on record")
IN_A_ROW = Caveat(
    key="not-interleaved",
    words="not interleaved: all 4 runs of {setups[0]} came before the 4 of {setups[1]}",
    setups=("plover", "dunlin"),
)
NO_ORDER = Caveat(key="order-unknown", words="8 of 8 runs have no order on record")
WAITS = of_side("plover", "waiting", "one more waits for a decision", waiting=1)


def carrying(findings, *carried: Caveat) -> list[Finding]:
    return [replace(f, caveats=carried) for f in findings]


@pytest.mark.parametrize(
    ("findings", "begins"),
    [
        ([*carrying(s.PAIR[2:3], SCATTER), *s.PAIR[3:]], "In Hollow Regatta: "),
        ([*s.PAIR[:1], *carrying(s.PAIR[1:3], SCATTER)], "In Nine Tramlines and Hollow Regatta: "),
        (carrying(s.PAIR, SCATTER), "In all tests: "),
        ([*carrying(s.PAIR[:8], SCATTER), s.PAIR[8]], "In all tests but Project load: "),
        (carrying(s.PAIR[:2], SCATTER), "In both tests: "),
        (carrying(s.PAIR[:1], SCATTER), "In Salt Causeway: "),
    ],
)
def test_each_is_said_once_with_the_tests_it_is_of(findings, begins):
    assert caveats(findings, s.NAMES) == (
        f"{begins}Plover scatters by 1.9 %, Dunlin by 0.38 %: judged without pooling.",
    )


def test_like_ones_of_both_sides_are_told_once():
    assert caveats(carrying(s.PAIR, ONE_BOOT_A, IN_A_ROW, ONE_BOOT_B), s.NAMES) == (
        "In all tests: Plover and Dunlin, each: all 4 runs come from one boot, and may share its error.",
        "In all tests: not interleaved: all 4 runs of Plover came before the 4 of Dunlin.",
    )


def test_like_ones_of_three_setups_are_told_once_whatever_the_pairs():
    sides = [of_side(setup, "one-boot", ONE_BOOT) for setup in ("plover", "dunlin", "wren")]
    pairs = [("plover", "dunlin"), ("plover", "wren"), ("dunlin", "wren")]
    all_pairs = [
        f
        for a, b in pairs
        for f in carrying(s.findings_of(a, b), *(c for c in sides if c.setups[0] in (a, b)))
    ]
    assert caveats(all_pairs, s.NAMES) == (f"In all tests: Plover, Dunlin and Wren, each: {ONE_BOOT}.",)


def test_sides_that_differ_or_stand_in_other_tests_stay_apart():
    fewer = of_side("dunlin", "one-boot", ONE_BOOT.replace("4", "3"))
    assert len(caveats(carrying(s.PAIR, ONE_BOOT_A, fewer), s.NAMES)) == 2
    apart = [*carrying(s.PAIR[:1], ONE_BOOT_A), *carrying(s.PAIR[1:2], ONE_BOOT_B)]
    assert caveats(apart, s.NAMES) == (
        f"In Salt Causeway: Plover: {ONE_BOOT}.",
        f"In Nine Tramlines: Dunlin: {ONE_BOOT}.",
    )


ORDINARY = ("a", "one", "runs", "order", "of", "interleaved", "{setups[0]}")


def test_keys_that_are_ordinary_words_garble_nothing():
    """The same study under plain keys and under keys that are words of the sentences reads the same."""

    def said(rename) -> tuple[str, ...]:
        first, then, test = rename("k1"), rename("k2"), rename("t1")
        names = Names(
            setups={first: SetupName(name="Rig One", slot=1), then: SetupName(name="Rig Two", slot=2)},
            tests={test: TestName(name="Salt Causeway"), rename("t2"): TestName(name="Quarry Choir")},
        )
        cells = [
            Cell(
                test=rename(key), setup=setup, metric="fps", better="higher", waiting=1,
                observations=tuple(
                    Observation(run=f"{setup}{k}", value=100 + 3 * k + at, boot=setup, order=10 * at + k)
                    for k in range(runs)
                ),
            )
            for key, runs in (("t1", 3), ("t2", 1))
            for at, setup in enumerate((first, then))
        ]  # fmt: skip
        study = Study(key="s", title="S", setups=(first, then), tests=(test, rename("t2")))
        found = compare_study(cells, study=study)
        return caveats([*found.findings, *found.indexes], names)

    plain = said(lambda key: f"zz-{key}")
    assert any(
        "not interleaved: all 3 runs of Rig One came before the 3 of Rig Two" in each for each in plain
    )
    assert any(each.endswith("the spread of the other tests: Quarry Choir.") for each in plain)
    for at in range(len(ORDINARY)):
        keys = (ORDINARY * 2)[at : at + 4]
        assert said(dict(zip(("k1", "k2", "t1", "t2"), keys, strict=True)).__getitem__) == plain


def test_a_number_besides_the_headline_is_named():
    low = [replace(f, metric="low_1pct", headline=False) for f in carrying(s.PAIR[:1], SCATTER)]
    assert caveats([*s.PAIR, *low], s.NAMES)[0].startswith("In Salt Causeway, 1% low: Plover scatters")


def test_words_that_name_no_setup_name_the_pair_unless_they_are_of_every_pair():
    others = [s.findings_of("plover", "wren"), s.findings_of("dunlin", "wren")]
    of_one = [*carrying(s.PAIR, NO_ORDER), *others[0], *others[1]]
    assert caveats(of_one, s.NAMES) == (
        "Plover and Dunlin, in all tests: 8 of 8 runs have no order on record.",
    )
    of_all = [f for findings in (s.PAIR, *others) for f in carrying(findings, NO_ORDER)]
    assert caveats(of_all, s.NAMES) == ("In all tests: 8 of 8 runs have no order on record.",)


@pytest.mark.parametrize("key", ["runs", "order", "have", "on"])
def test_a_key_that_stands_in_the_words_does_not_hide_the_pair(key):
    others = [s.findings_of("plover", "wren"), s.findings_of("dunlin", "wren")]
    found = [
        replace(f, **{side: key for side in ("a", "b") if getattr(f, side) == "plover"})
        for f in [*carrying(s.PAIR, NO_ORDER), *others[0], *others[1]]
    ]
    assert caveats(found, s.NAMES) == (f"{key.capitalize()} and Dunlin, in all tests: {NO_ORDER.words}.",)


def allowed(words: str, *indexes):
    return [replace(i, caveats=(Caveat(key="allowance", words=words),)) for i in indexes]


def test_what_every_index_of_a_pair_carries_is_said_once():
    words = "in all its tests runs may share an error: 2.01 % of the index is allowed for it"
    assert caveats(allowed(words, *s.INDEXES), s.NAMES) == (f"In every index: {words}.",)


def test_indexes_that_differ_share_a_sentence_each_with_its_own_numbers():
    overall, games, work = s.INDEXES
    mixed = [*allowed("three of nine", overall), *allowed("three of five", games), work]
    assert caveats(mixed, s.NAMES) == ("Over all nine: three of nine; in games: three of five.",)


@pytest.mark.parametrize(
    ("tests", "missing", "words"),
    [(9, 0, "all nine"), (2, 0, "both"), (1, 0, "one"), (5, 1, "five of six"), (1, 1, "one of two")],
)
def test_how_many_tests_an_index_holds(tests, missing, words):
    keys = tuple(t[0] for t in s.TESTS)
    index = replace(s.OVERALL, tests=keys[:tests], missing=keys[tests : tests + missing])
    assert how_many(index) == words


@pytest.mark.parametrize(
    ("findings", "said"),
    [
        (s.PAIR, ()),
        (carrying(s.PAIR, ONE_BOOT_A, ONE_BOOT_B, IN_A_ROW), ("One boot a side, not interleaved.",)),
        (carrying(s.PAIR, ONE_BOOT_A), ("One boot on one side.",)),
        ([*carrying(s.PAIR[:2], ONE_BOOT_A, ONE_BOOT_B), *s.PAIR[2:]], ("One boot a side in two tests.",)),
        (carrying(s.PAIR, UNPLACED, NO_ORDER), ("Boots and order not on record.",)),
        (
            [*carrying(s.PAIR[:2], IN_A_ROW), *carrying(s.PAIR[2:4], NO_ORDER)],
            ("Not interleaved or order not on record.",),
        ),
        ([*carrying(s.PAIR[:1], IN_A_ROW), *s.PAIR[1:]], ("Not interleaved in one test.",)),
        ([*carrying(s.PAIR[:1], WAITS), *s.PAIR[1:]], ("One run waits.",)),
        (carrying(s.PAIR[:2], IN_A_ROW, WAITS), ("Not interleaved.", "Two runs wait.")),
    ],
)
def test_a_picture_says_them_in_a_few_words(findings, said):
    assert on_a_picture(findings) == said


def test_a_test_without_numbers_takes_no_part_in_how_many_tests_have_one_boot():
    none = replace(s.one_run("choir", None, n_a=0), caveats=(WAITS,))
    assert on_a_picture([*carrying(s.PAIR[:4], IN_A_ROW), none]) == ("Not interleaved.", "One run waits.")


@pytest.mark.parametrize(
    ("findings", "said"),
    [
        (s.PAIR, ()),
        (carrying(s.PAIR, ONE_BOOT_A, ONE_BOOT_B, IN_A_ROW), ("One boot each, not interleaved.",)),
        (carrying(s.PAIR, ONE_BOOT_A), ("Some of one boot.",)),
        (
            [*carrying(s.PAIR[:1], IN_A_ROW, WAITS), *s.PAIR[1:]],
            ("Not interleaved in one test.", "One run waits."),
        ),
        (
            [*carrying(s.PAIR[:1], WAITS), *carrying(s.findings_of("plover", "wren")[:1], WAITS)],
            ("One run waits.",),
        ),
    ],
)
def test_a_picture_without_pairs_tells_each_cell_once(findings, said):
    assert on_rates(findings) == said
