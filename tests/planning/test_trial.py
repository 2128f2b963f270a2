"""A show, solved and judged, and the same after some edits."""

from __future__ import annotations

import gc
from weakref import ref

import pytest

from levelhead.errors import ShowError
from levelhead.planning.trial import Trial, try_show
from levelhead.show.edits import Plug, Set, Unplug
from levelhead.show.model import Item, Show
from tests.chain.bench import bench_show
from tests.verdicts.cases import CASES, by_wire


def trial() -> Trial:
    show = bench_show(
        {"t": "tone", "u": "tone", "d": "desk"}, [("t.out", "d.ch1.line")],
        settings={"d.ch1.gain": "0 dB"},
    )  # fmt: skip
    return try_show(show, CASES)


def test_a_copy_is_edited_the_show_stays() -> None:
    before = trial()
    after = before.after([Set("d.ch1.gain", "10 dB")])
    assert after is not None
    assert after.solution.levels("d.ch1.preamp").nominal == pytest.approx(14.0)
    assert before.solution.levels("d.ch1.preamp").nominal == pytest.approx(4.0)
    assert before.show.settings["d.ch1.gain"] == "0 dB"


@pytest.mark.parametrize(
    "edit",
    [
        Plug(by_wire("u.out", "d.ch1.line")),  # taken
        Unplug(by_wire("u.out", "d.ch2.line")),  # no such link
        Set("d.ch1.gain", "99 dB"),  # beyond the panel
        Plug(by_wire("u.out", "d.ch9.line")),  # no such socket
    ],
)
def test_edits_that_do_not_go_together_are_none(edit: Plug | Unplug | Set) -> None:
    assert trial().after([edit]) is None


def test_errors_of_the_show_itself_are_raised() -> None:
    show = Show("bench", items={"x": Item("x", "no-such-type")})
    with pytest.raises(ShowError, match="no-such-type"):
        try_show(show, CASES)


def test_what_was_tried_goes_when_its_show_does() -> None:
    """No circle holds a trial: a page that is open for hours tries thousands."""
    before = trial()
    after = before.after([Set("d.ch1.gain", "10 dB")])
    assert after is not None
    assert after.before is before
    assert after.judgement.findings
    gone, first = ref(after), ref(before)
    gc.disable()
    try:
        del after, before
        assert (gone(), first()) == (None, None)
    finally:
        gc.enable()
