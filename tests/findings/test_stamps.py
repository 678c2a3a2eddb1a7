"""Another version, or conditions that nothing joins, give no ratio; other conditions are told beside it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from validation.workshops import MOSTLY_PLAY, case_of, saltmarsh_cells, study_of

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Finding, Outcome, Under
from evenhand.findings.stamps import NOT_BRIDGED, OTHER_CONDITIONS, OTHER_TEST, other_conditions, other_test
from evenhand.verdicts.verdict import verdicts

CELLS = saltmarsh_cells()
A, B = (next(c for c in CELLS if (c.test, c.setup) == ("export", s)) for s in ("plover", "dunlin"))


def saying(cell: Cell, says: dict[str, str], *, fixes: tuple[str, ...] = ()) -> Cell:
    return replace(cell, says=tuple((name, (value,)) for name, value in says.items()), fixes=fixes)


def changed(setup: str, test: str, *, fixes: tuple[str, ...] = ()) -> list[Cell]:
    """All cells say version 1.0, but for one."""
    return [
        saying(c, {"version": "1.1" if (c.test, c.setup) == (test, setup) else "1.0"}, fixes=fixes)
        for c in CELLS
    ]


def under(names: dict[str, str]) -> list[Cell]:
    """All cells, those of the setups that are named run under one driver each."""
    return [
        replace(c, under=Under(machine=c.setup, names=(f"driver {names[c.setup]}",)))
        if c.setup in names else c for c in CELLS
    ]  # fmt: skip


def finding(cells: list[Cell], test: str) -> Finding:
    found = compare_study(cells, study=study_of(cells)).findings
    return next(f for f in found if (f.test, f.a, f.b) == (test, A.setup, B.setup) and f.headline)


def test_another_version_is_another_test_and_gives_no_ratio() -> None:
    one = finding(changed("dunlin", "export", fixes=("version",)), "export")
    assert (one.ratio, one.outcome, one.caveats[0].key) == (None, Outcome.UNSETTLED, OTHER_TEST)
    assert "version “1.0” on plover and “1.1” on dunlin" in one.caveats[0].told()


def test_the_rest_of_the_study_stands_and_the_index_names_what_is_not_in_it() -> None:
    cells = changed("dunlin", "export", fixes=("version",))
    assert finding(cells, "render").ratio is not None
    index = next(
        i for i in compare_study(cells, study=study_of(cells)).indexes if (i.a, i.b) == (A.setup, B.setup)
    )
    assert "export" in index.missing


def test_a_verdict_weighs_no_ratio_of_two_tests_and_says_so() -> None:
    case = case_of(MOSTLY_PLAY, changed("dunlin", "export", fixes=("version",)))
    found = next(v for v in verdicts(case) if (v.a, v.b) == (A.setup, B.setup))
    assert not any(test == "export" for test, _ in found.shares)
    assert any("two different tests" in caveat.told() for caveat in found.caveats)


def test_another_driver_is_told_beside_the_ratio_and_in_the_verdict() -> None:
    cells = [saying(c, {"driver": "31.6" if c.setup == "dunlin" else "31.4"}) for c in CELLS]
    one = finding(cells, "export")
    assert one.ratio is not None
    assert OTHER_CONDITIONS in [c.key for c in one.caveats]
    found = next(v for v in verdicts(case_of(MOSTLY_PLAY, cells)) if (v.a, v.b) == (A.setup, B.setup))
    assert [c.key for c in found.caveats].count(OTHER_CONDITIONS) == 1


@pytest.mark.parametrize(
    ("a", "b", "keys"),
    [
        ({"driver": "1"}, {"driver": "1"}, []),
        ({"driver": "1"}, {}, []),
        ({"graphics clock": "2.6 GHz"}, {"graphics clock": "2.4 GHz"}, []),
        ({"firmware": "B9"}, {"firmware": "X3"}, []),
        ({"driver": "1", "os": "T9"}, {"driver": "2", "os": "T8"}, [OTHER_CONDITIONS] * 2),
    ],
)
def test_what_is_of_the_machine_or_not_said_by_both_is_no_other_condition(
    a: dict[str, str], b: dict[str, str], keys: list[str]
) -> None:
    assert [c.key for c in other_conditions(saying(A, a), saying(B, b))] == keys
    assert other_test(saying(A, a), saying(B, b)) is None


def test_braces_in_anybodys_stamp_stand_as_they_are() -> None:
    (caveat,) = other_conditions(saying(A, {"driver": "{x}"}), saying(B, {"driver": "y"}))
    assert "“{x}”" in caveat.told()


def test_conditions_that_nothing_joins_give_no_ratio_no_index_and_no_verdict() -> None:
    cells = under({"plover": "1", "dunlin": "2"})
    one = finding(cells, "export")
    assert (one.ratio, one.outcome, one.caveats[0].key) == (None, Outcome.UNSETTLED, NOT_BRIDGED)
    assert "driver 1 on plover and under driver 2 on dunlin: no ratio may be formed" in one.caveats[0].told()
    made = compare_study(cells, study=study_of(cells))
    assert (A.setup, B.setup) not in {(i.a, i.b) for i in made.indexes}
    found = verdicts(case_of(MOSTLY_PLAY, cells))
    assert found
    assert (A.setup, B.setup) not in {(v.a, v.b) for v in found}
