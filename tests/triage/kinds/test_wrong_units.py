from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import cell, held, judge, only, plain, run, take, with_first

from evenhand.records.faults import Severity


@pytest.mark.parametrize(("factor", "unit"), [(1e-3, "seconds"), (1e3, "microseconds"), (1e6, "nanoseconds")])
def test_numbers_in_another_unit_block_the_run_and_name_the_unit(factor: float, unit: str) -> None:
    runs = with_first(cell(), run("1", take(1) * factor))
    fault = only(judge(runs)["1"], "wrong-units")
    assert fault.severity is Severity.BLOCKS
    assert unit in fault.evidence
    assert unit in fault.todo


def test_the_sentence_says_what_is_read_and_what_is_meant() -> None:
    runs = with_first(cell(), run("1", np.full(3000, 0.0125)))
    assert plain(only(judge(runs)["1"], "wrong-units").evidence) == (
        "The median frame time reads as 0.0125 ms; as seconds it would be 12.50 ms."
    )


@pytest.mark.parametrize(("median_ms", "found"), [(0.29, True), (0.31, False), (499.0, False), (501.0, True)])
def test_the_limits_are_0_3_and_500_ms(median_ms: float, found: bool) -> None:
    faults = judge([run("1", take(1, seconds=5) / 10 * median_ms / np.median(take(1, seconds=5) / 10))])["1"]
    assert any(f.kind == "wrong-units" for f in faults) is found


def test_a_run_in_another_unit_does_not_make_its_siblings_look_odd() -> None:
    assert held(judge(with_first(cell(), run("1", take(1) / 1000)))) == {"1"}


def test_all_runs_in_another_unit_are_all_found() -> None:
    assert held(judge([run(str(i), take(i) / 1000) for i in range(4)])) == {"0", "1", "2", "3"}
