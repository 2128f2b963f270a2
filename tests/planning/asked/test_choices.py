"""What a question leaves to choose: cables that fit, switches that change something there."""

from __future__ import annotations

from typing import Any

from levelhead.planning.asked.adding import edits_that_add
from levelhead.planning.asked.answer import Question, answer
from levelhead.planning.asked.choices import Choices, choices_of
from levelhead.show.edits import apply
from levelhead.show.model import Item, Link, Show
from tests.planning.asking import BOOK


def choices(from_: str, to: str) -> Choices:
    ends: dict[str, Any] = {"from": {"address": from_}, "to": {"address": to}}
    return choices_of(BOOK, ends)


def test_the_usual_cable_comes_first() -> None:
    found = choices("mic-vocal-dynamic.out", "mixer-compact.ch1.mic").cables
    assert found[0] == ("cable-xlr", "XLR cable")
    assert ("cable-jack", "Jack cable, two-pole") not in found


def test_pads_of_both_ends_are_there_and_mutes_are_not() -> None:
    found = choices("di-active.out", "mixer-digital-32.ch1.mic").switches
    addresses = {each.address: each.options for each in found}
    assert addresses["di-active.pad"] == ("off", "20-db", "40-db")
    assert addresses["mixer-digital-32.ch1.pad"] == ("off", "20-db")
    assert not [each for each in addresses if "mute" in each or "clock" in each]


def test_a_switch_that_does_nothing_at_that_socket_is_left_out() -> None:
    """Phantom power of a mixer comes to its microphone inputs, not to its line inputs."""
    at_mic = choices("mic-vocal-dynamic.out", "mixer-compact.ch1.mic").switches
    at_line = choices("keyboard-stereo.out-left", "mixer-compact.ch1.line").switches
    assert [each.address for each in at_mic] == ["mixer-compact.phantom"]
    assert at_line == ()


def test_the_second_of_two_alike_is_known_by_its_name() -> None:
    found = choices("mixer-compact.main-left.out", "mixer-compact-2.ch1.mic")
    assert [each.address for each in found.switches] == ["mixer-compact-2.phantom"]


def test_strange_addresses_leave_nothing_to_choose() -> None:
    assert choices("no-such.out", "mixer-compact.ch1.mic") == Choices()
    assert choices("di-active.nowhere", "mixer-compact.ch1.mic") == Choices()


def test_a_rig_goes_into_a_show_beside_what_has_its_names() -> None:
    rig = answer(Question("vocal mic", "compact mixer mic"), BOOK).trial.show
    base = Show("Friday", items={"mixer-compact": Item("mixer-compact", "mixer-compact")})
    after, _ = apply(base, edits_that_add(rig, base))
    assert set(after.items) == {"mixer-compact", "mic-vocal-dynamic", "mixer-compact-2"}
    assert after.links[0].ends == {"a": "mic-vocal-dynamic.out", "b": "mixer-compact-2.ch1.mic"}
    assert after.sources["voice"].at == "mic-vocal-dynamic"
    assert "mixer-compact-2.ch1.gain" in after.settings


def test_a_desk_that_is_there_gives_its_free_strip() -> None:
    """Channel 1 is taken by a lead in its line input, so channel 2 is the first free one."""
    given = answer(Question("vocal mic", "compact mixer mic"), BOOK)
    base = Show(
        "Friday",
        items={"desk": Item("desk", "mixer-compact"), "keys": Item("keys", "keyboard-stereo")},
        links=(Link({"a": "keys.out-left", "b": "desk.ch1.line"}),),
    )
    edits = edits_that_add(given.trial.show, base, into=given.to_address, book=BOOK)
    after, _ = apply(base, edits)
    assert set(after.items) == {"desk", "keys", "mic-vocal-dynamic"}
    assert after.link_at("desk.ch2.mic") is not None
    assert "desk.ch2.gain" in after.settings
