"""Which courses of an anchor the page Causes shows, and with which pair it opens."""

from types import SimpleNamespace
from typing import cast

import pytest
from tests.publish import saltmarsh as s
from tests.publish.test_control_chart import chart

from evenhand.desk.comparison import explaining
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.causes_time import longest


def test_before_limits_the_chart_of_most_days_is_shown_and_none_of_a_single_day() -> None:
    assert longest([chart(1), chart(3), chart(2)]) == [chart(3)]
    assert longest([chart(1)]) == []
    assert longest([]) == []


def test_it_opens_with_the_pair_in_front_of_several(monkeypatch: pytest.MonkeyPatch) -> None:
    setups = ("wren", "plover", "dunlin")
    made = SimpleNamespace(setups=dict.fromkeys(setups), study=SimpleNamespace(key="s", setups=setups))
    record = cast("StudyOnRecord", made)
    monkeypatch.setattr(explaining, "findings_now", lambda _: s.THREE_SETUPS)
    assert set(explaining.chosen_pair(record, ())) == {"plover", "dunlin"}
    assert explaining.chosen_pair(record, ("wren", "dunlin")) == ("wren", "dunlin")
    made.study.setups = setups[:2]
    assert explaining.chosen_pair(record, ()) == ("wren", "plover")
