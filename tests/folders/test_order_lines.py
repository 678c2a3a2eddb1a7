"""Where in a study file a run's place in the order is written."""

from __future__ import annotations

import pytest

from evenhand.errors import BadRecord
from evenhand.folders.order_lines import order_lines

TEXT = """[[batches]]
test = "causeway"
order = 7
runs = [
  { log = "a.csv" },
  { log = "b.csv", order = 2 },
]
[[batches]]
runs = [ { log = "c.csv" } ]
[[runs]]
order = 1
[[runs]]
log = "d.csv"
"""


def test_single_runs_come_first_and_a_run_of_a_batch_has_its_own_line_or_that_of_its_batch() -> None:
    assert order_lines(TEXT) == (11, None, 3, 6, None)


def test_what_is_no_toml_has_no_lines() -> None:
    with pytest.raises(BadRecord):
        order_lines("[[runs")
