"""Where an output may go: what is there and fits, what is brought, each with its verdict."""

from __future__ import annotations

import pytest

from levelhead.errors import AskError
from levelhead.gear.book import load_book
from levelhead.planning.proposal.ways_out import ways_out
from levelhead.planning.trial import Trial, try_show
from levelhead.show.model import Cable, Item, Link, Show

OUT, SEND = "desk.main-left.out", "desk.aux1.out"


def trial(**items: str) -> Trial:
    """A desk whose main plays on a loudspeaker, with other gear that nothing is plugged into."""
    given = {"desk": "mixer-analogue-16", "left": "loudspeaker-powered-12", **items}
    link = Link({"a": OUT, "b": "left.in"}, (Cable("cable-xlr", 20.0),))
    show = Show("Hall", items={name: Item(name, of) for name, of in given.items()}, links=(link,))
    return try_show(show, load_book())


def test_free_inputs_that_a_lead_fits_are_offered_and_the_present_one_first() -> None:
    first, *others = ways_out(trial(wedge="wedge-powered"), OUT)
    assert (first.address, first.is_here, first.attempt.edits) == ("left.in", True, ())
    assert "wedge.in" in {each.address for each in others}
    assert not any(each.address.startswith("desk.") for each in others)


def test_a_passive_loudspeaker_on_a_send_is_told_to_fail_and_stands_last() -> None:
    found = ways_out(trial(wedge="wedge-powered", dead="wedge-passive"), SEND)
    order = [each.address.partition(".")[0] for each in found]
    assert order.index("wedge") < order.index("dead")
    assert found[-1].attempt.verdict.value in {"fails", "harm"}


def test_words_bring_gear_with_its_lead() -> None:
    base = trial()
    found = ways_out(base, SEND, "powered wedge")
    way = next(each for each in found if each.address.startswith("wedge-powered"))
    assert way.is_new
    moved = base.after(way.attempt.edits)
    assert moved is not None
    link = moved.show.link_at(SEND)
    assert link is not None
    assert moved.show.items[link.ends["b"].partition(".")[0]].type == "wedge-powered"


def test_an_output_that_goes_elsewhere_is_unplugged_first() -> None:
    base = trial(wedge="wedge-powered")
    way = next(each for each in ways_out(base, OUT) if each.address == "wedge.in")
    moved = base.after(way.attempt.edits)
    assert moved is not None
    assert moved.show.link_at("left.in") is None


@pytest.mark.parametrize(("output", "text"), [("desk.ch1.mic", ""), ("x.y", ""), (OUT, "banana")])
def test_no_output_and_words_for_nothing_are_refused(output: str, text: str) -> None:
    with pytest.raises(AskError, match=r"no output|nothing called"):
        ways_out(trial(), output, text)
