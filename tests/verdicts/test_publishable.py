"""What may be published of a pair, and what this study refuses to say."""

from tests.verdicts.ladder_cases import swapped_workshop, workshop

from evenhand.verdicts.claims import Kind
from evenhand.verdicts.publishable import publishable, refusals_of


def test_the_workshop_refuses_at_least_three_sentences_and_says_why():
    refused = refusals_of(workshop())
    assert len({one.standing.kind for one in refused}) >= 3
    assert all(one.standing.reason.told() for one in refused)
    assert [one.rung for one in refused] == sorted((one.rung for one in refused), reverse=True)


def test_what_may_be_published_and_what_is_refused_never_meet():
    made = workshop()
    may, not_ = publishable(made), refusals_of(made)
    assert all(one.standing.allowed for one in may)
    assert not any(one.standing.allowed for one in not_)
    assert not {one.said.told() for one in may} & {one.said.told() for one in not_}


def test_a_swap_bears_a_sentence_about_its_tests_alone():
    made = swapped_workshop()
    causal = [one for one in publishable(made) if one.standing.kind is Kind.CAUSE]
    assert [one.said.told() for one in causal] == ["In quay and weir, graphics puts plover ahead of dunlin."]
    refused = [one for one in refusals_of(made) if one.standing.kind is Kind.CAUSE]
    told = {one.said.told(): one.standing.reason.told() for one in refused}
    assert (
        told["plover is ahead because of its graphics."] == "shown for quay and weir only, and not for lock"
    )
    assert "plover is ahead because of its processor." in told
