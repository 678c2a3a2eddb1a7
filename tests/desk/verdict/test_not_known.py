"""Questions that the record has nothing on: told as not known, by their words, with what could be asked."""

from __future__ import annotations

import re

import pytest
from tests.desk.verdict.questions import said, words

from evenhand.desk.verdict.answering import Known, question_answer
from evenhand.store.workbench import Workbench


@pytest.mark.parametrize(
    ("question", "unheard"),
    [
        ("Does Plover have RGB lighting?", ("RGB lighting",)),
        ("Does Plover have Wi-Fi?", ("Wi-Fi",)),
        ("Can Dunlin run Linux?", ("Linux",)),
        ("How heavy is Wren?", ("heavy",)),
        ("Does Wren come with a warranty?", ("warranty",)),
        ("Which boots faster?", ("boots",)),
        ("Which is faster, Plover or Dunlin, with ray tracing on?", ("ray tracing",)),
        ("How big is the case of Plover?", ("big", "the case")),
        ("What colour is Dunlin?", ("colour",)),
        ("Which has more USB ports?", ("USB ports",)),
        ("Is Plover faster than Dunlin when overclocked?", ("overclocked",)),
        ("Which is better for VR?", ("VR",)),
        ("Is the delivery of Wren quicker?", ("delivery",)),
        ("Is Plover safe?", ("safe",)),
        ("What is the resolution in Salt Causeway?", ("resolution",)),
        ("Which maker has better support?", ("maker", "support")),
        ("Does Dunlin run hot in summer?", ("summer",)),
        ("Is Plover good value for streaming?", ("streaming",)),
        ("Does Plover have a graphics card?", ("graphics card",)),
        ("Is Plover faster than Dunlin with 64 GB?", ("64 GB",)),
    ],
)
def test_words_that_nothing_on_record_answers_to_are_named_and_nothing_is_told_of_speed_instead(
    saltmarsh: Workbench, question: str, unheard: tuple[str, ...]
) -> None:
    found = said(saltmarsh, question)
    assert found.known is Known.UNKNOWN
    assert found.asked.not_on_record == unheard
    assert all(f"“{each}”" in found.lines[0].words for each in unheard)
    assert "ahead" not in words(found)
    assert tuple(question_answer(found, "saltmarsh")["unheard"]) == unheard


@pytest.mark.parametrize(
    "question",
    [
        "Does Plover have RGB lighting?",
        "What is the resolution in Salt Causeway?",
        "Which maker has better support for Mostly editing?",
        "Is the keyboard of Dunlin quiet?",
        "Is the Wi-Fi of Wren worth its price?",
    ],
)
def test_what_could_be_asked_instead_can_be_asked(saltmarsh: Workbench, question: str) -> None:
    told = said(saltmarsh, question).lines[1].words
    assert told.startswith("It can be asked for speed, value, noise, heat, power at the wall and causes")
    instead = re.search("“(.+)”$", told)
    assert instead is not None
    again = said(saltmarsh, instead[1])
    assert again.asked.not_on_record == ()
    assert again.known is not Known.UNKNOWN


def test_what_else_was_named_stands_in_the_question_to_be_asked_instead(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Is Wren prettier than Dunlin in Salt Causeway?")
    assert found.lines[1].words.endswith("“Which is faster in Salt Causeway, Dunlin or Wren?”")


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ("How much faster is Plover than Wren in games?", "In games, over these five tests, Plover is ahead"),
        ("Would you recommend Plover or Dunlin for gaming?", "In games, over these five tests, Plover"),
        ("Hi! Can you tell me if Plover beats Wren in the games please?", "Plover is ahead of Wren by 31"),
        ("What is the fastest of the three?", "Over these nine tests, Plover is ahead of Wren"),
        (
            "By how many percent is Plover ahead of Dunlin?",
            "Over these nine tests, Plover and Dunlin are level",
        ),
        ("Is Dunlin really better value than Plover for a bit of everything?", "Plover is better value than"),
        ("Which one gives the most frames for the money?", "For Mostly play, Plover is better value"),
        ("Does Dunlin draw less power than Plover?", "Plover draws more at the wall than Dunlin"),
        ("Which uses the least electricity?", "Plover draws more at the wall than Dunlin"),
        ("Are the fans of Plover louder than those of Dunlin?", "Dunlin is quieter than Plover"),
        ("Who wins Ember Parish, Dunlin or Wren?", "In Ember Parish, Dunlin is ahead of Wren"),
        ("Which machine wins the most games?", "In games, over these five tests"),
        ("Is Wren good enough for someone who mostly plays?", "For Mostly play, Plover is ahead of Wren"),
        ("What do I lose with Wren instead of Plover?", "Over these nine tests, Plover is ahead of Wren"),
        ("Can I save money by taking Wren over Dunlin?", "Wren is better value than Dunlin"),
        ("Is Plover's graphics card the reason it is faster in Salt Causeway?", "graphics puts Plover ahead"),
        ("Which is the better buy at 1,100 dl, Plover or Dunlin?", "Plover and Dunlin are within 1,100 dl."),
        ("Should new seats get Plover or Dunlin?", "For Mostly play, new seats, Plover and Dunlin"),
    ],
)
def test_words_that_ask_are_no_words_of_content(saltmarsh: Workbench, question: str, told: str) -> None:
    found = said(saltmarsh, question)
    assert found.asked.not_on_record == ()
    assert found.known in (Known.MEASURED, Known.FOLLOWS)
    assert told in words(found)


@pytest.mark.parametrize("question", ["Which for 700 dl?", "Best for 700 drell?", "Which for about 700 dl?"])
def test_a_sum_behind_for_is_a_budget_and_nobody_whom_it_is_for(saltmarsh: Workbench, question: str) -> None:
    found = said(saltmarsh, question)
    assert found.budget[0].startswith("None of them is within 700\N{NO-BREAK SPACE}dl: nearest is Wren")
    assert found.asked.not_on_record == ()
    assert "Nothing on record" not in words(found)
