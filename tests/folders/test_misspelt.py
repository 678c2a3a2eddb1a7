"""Misspelt tables and keys: the slip itself is told, what stands within it too, and nothing that follows."""

from __future__ import annotations

import pytest
from tests.folders.test_reading import SOUND, changed, refused


def problems(text: str) -> list[str]:
    """What the author of a study file hears, line by line."""
    told = refused(text).splitlines()
    return [line.strip() for line in told if " line " in line or line.startswith("study.toml, line")]


def test_a_misspelt_list_is_told_once_with_all_its_lines_and_nothing_that_follows() -> None:
    (only,) = problems(SOUND.replace("[[builds]]", "[[bilds]]"))
    assert "line 7, 'bilds': unknown table or key 'bilds' (also on line 11); did you mean 'builds'?" in only


def test_what_is_wrong_within_a_misspelt_table_is_told_in_the_same_round() -> None:
    slip, value = problems(SOUND.replace("[[builds]]", "[[bilds]]").replace("slot = 1", 'slot = "one"'))
    assert "did you mean 'builds'?" in slip
    assert value == "line 10, [[builds]] 1, slot: 'slot' must be a whole number, not the text 'one'"


def test_of_many_lines_the_first_are_told() -> None:
    text = SOUND + '[[runz]]\ntest = "export"\nsetup = "wren-mild"\nscore = 9.0\n' * 9
    first = SOUND.count("\n") + 1
    assert f"(also on lines {first + 4}, {first + 8}, {first + 12} and 5 more)" in refused(text)


@pytest.mark.parametrize(("old", "new"), [("[study]", "[stdy]"), ("[[runs]]", "[[ runz ]]")])
def test_a_misspelt_table_is_the_only_thing_that_is_told(old: str, new: str) -> None:
    assert "things cannot be used" not in refused(changed(old, new))


def test_one_that_would_stand_twice_is_told_and_the_others_are_read_all_the_same() -> None:
    twice, slip = problems(SOUND.replace("[[builds]]", "[[bilds]]") + "[stdy]\n")[::-1]
    assert "unknown table or key 'stdy'; did you mean 'study'?" in twice
    assert "'bilds'" in slip


def test_a_misspelt_key_is_not_missing_besides() -> None:
    told = refused(changed('measures = "score"', 'mesures = "score"'))
    assert "unknown key 'mesures'; did you mean 'measures'?" in told
    assert "is missing" not in told
