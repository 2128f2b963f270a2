"""Who is heard nowhere, and which loudspeaker gives nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.show.edits import Edit, RemoveSource, Set, Unplug
from levelhead.show.model import Cable, Item, Link, Show, Source
from levelhead.verdicts.told.finding import Finding
from tests.verdicts.shows import judged_text, tried_text, worst_of

ITEMS = {
    "vox": Item("vox", "mic-vocal-dynamic", "Ada's microphone"),
    "keys": Item("keys", "keyboard-stereo", "Keys"),
    "desk": Item("desk", "mixer-compact", "Desk"),
    "pa": Item("pa", "loudspeaker-powered-12", "Hall"),
    "wedge": Item("wedge", "loudspeaker-powered-12", "Wedge"),
}
LINKS = (
    Link({"a": "vox.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),)),
    Link({"a": "keys.out-left", "b": "desk.ch2.line"}, (Cable("cable-jack", 3.0),)),
    Link({"a": "desk.main-left.out", "b": "pa.in"}, (Cable("cable-xlr", 10.0),)),
    Link({"a": "desk.aux.out", "b": "wedge.in"}, (Cable("lead-jack-balanced-xlr", 10.0),)),
)
WHOLE = Show(
    "pub",
    items=ITEMS,
    sources={"ada": Source("ada", "voice-singer", "vox", 0.05, "Ada")},
    links=LINKS,
    settings={"desk.ch1.aux": "0 dB", "desk.ch1.gain": "30 dB", "desk.ch2.gain": "20 dB"},
)


def after(*edits: Edit) -> Trial:
    trial = try_show(WHOLE, load_book()).after(edits)
    assert trial is not None
    return trial


def routing(trial: Trial) -> dict[str, Finding]:
    found = trial.judgement.findings
    return {each.where: each for each in found if each.family == "routing"}


def test_a_rig_in_which_everybody_is_heard_has_no_finding() -> None:
    assert routing(after()) == {}


def test_a_wedge_on_a_send_that_is_off_gets_no_signal() -> None:
    found = routing(after(Set("desk.ch1.aux", "off")))
    assert found["wedge.driver"].code == "routing.no-signal"
    assert "Wedge gets no signal" in found["wedge.driver"].what


@pytest.mark.parametrize(
    "edit", [Unplug(LINKS[1]), Set("desk.ch2.fader", "off")], ids=["unplugged", "fader off"]
)
def test_keys_that_reach_no_loudspeaker_are_told(edit: Edit) -> None:
    (found,) = routing(after(edit)).values()
    assert found.code == "routing.unheard"
    assert found.what.startswith("Keys comes out of no loudspeaker")


def test_a_list_of_inputs_alone_is_no_silent_rig() -> None:
    """Without a loudspeaker that speaks, nobody can be called unheard."""
    assert routing(after(Unplug(LINKS[2]), Unplug(LINKS[3]))) == {}


def test_what_waits_for_phantom_is_not_told_twice() -> None:
    """A DI box without power has its own finding."""
    items = {**ITEMS, "di": Item("di", "di-active", "DI")}
    links = (
        LINKS[0],
        Link({"a": "keys.out-left", "b": "di.in"}, (Cable("cable-jack", 3.0),)),
        Link({"a": "di.out", "b": "desk.ch2.mic"}, (Cable("cable-xlr", 10.0),)),
        *LINKS[2:],
    )
    show = Show("di", items=items, sources=WHOLE.sources, links=links, settings=WHOLE.settings)
    found = try_show(show, load_book()).judgement.findings
    assert not any(each.code == "routing.unheard" for each in found)
    assert any(each.code == "phantom.missing" for each in found)


def test_nobody_in_front_of_the_only_microphone_makes_no_finding() -> None:
    """The keys are heard; a microphone without a source sounds no more than a spare one."""
    assert "vox.out" not in routing(after(RemoveSource("ada"), Set("desk.ch2.aux", "0 dB")))


def test_a_microphone_without_a_voice_is_no_silent_loudspeaker() -> None:
    """Sound in the air before it is no sound that comes out of it."""
    items = {**ITEMS, "spare": Item("spare", "mic-vocal-dynamic", "Spare microphone")}
    link = Link({"a": "spare.out", "b": "desk.ch3.mic"}, (Cable("cable-xlr", 10.0),))
    show = replace(WHOLE, items=items, links=(*LINKS, link))
    told = try_show(show, load_book()).judgement.findings
    assert [each.where for each in told if each.family == "routing"] == []


def rig_with(amplifier: str, link: str = "") -> str:
    """A singer on the loudspeaker, a guitar on an amplifier."""
    return f"""
        items:
          m: {{type: mic-vocal-dynamic}}
          b: {{type: loudspeaker-powered-12}}
          g: {{type: guitar-electric-passive}}
          amp: {{type: {amplifier}}}
        sources: {{v: {{type: voice-singer, at: m}}}}
        links:
          - {{from: m.out, to: b.in, via: [cable-xlr 5 m]}}
          - {{from: g.out, to: amp{link}.in, via: [cable-jack 5 m]}}
        """


@pytest.mark.parametrize("amplifier", ["guitar-amp-valve", "guitar-amp-transistor", "bass-amp"])
def test_a_guitar_on_its_own_amplifier_is_heard_in_the_room(amplifier: str) -> None:
    assert worst_of(rig_with(amplifier), "routing.unheard") is None


def test_a_guitar_on_an_effect_unit_alone_is_not() -> None:
    finding = worst_of(rig_with("effect-unit"), "routing.unheard")
    assert finding is not None
    assert finding.what.startswith("g comes out of no loudspeaker")


MULTICORE = """
    items:
      m: {type: mic-vocal-dynamic}
      b: {type: loudspeaker-powered-12}
      bass: {type: bass-active}
      core: {type: multicore-16-4}
      more: {type: multicore-16-4}
    sources: {v: {type: voice-singer, at: m}}
    links:
      - {from: m.out, to: b.in, via: [cable-xlr 5 m]}
      - {from: bass.out, to: core.line5.in, via: [lead-jack-xlr 5 m]}
    """


def test_a_plug_of_a_multicore_that_is_in_nothing_is_where_it_ends() -> None:
    finding = worst_of(MULTICORE, "routing.unheard")
    assert finding is not None
    assert finding.where == "core.line5.out"


def test_a_second_multicore_behind_the_first_is_further() -> None:
    link = "  - {from: core.line5.out, to: more.line2.in, via: []}\n    "
    finding = worst_of(MULTICORE + link, "routing.unheard")
    assert finding is not None
    assert finding.where == "more.line2.out"


@pytest.mark.parametrize(
    ("lead", "is_told"),
    [("lead-mini-left-jack", True), ("lead-mini-sum-jack", False)],
)
def test_a_lead_that_leaves_one_side_of_a_stereo_socket_behind_is_told(
    lead: str, *, is_told: bool
) -> None:
    """The other side never leaves the laptop; a lead that sums brings both."""
    text = f"""
        items:
          l: {{type: laptop}}
          desk: {{type: mixer-compact}}
          pa: {{type: loudspeaker-powered-12}}
        links:
          - {{from: l.phones, to: desk.ch1.line, via: [{lead} 3 m]}}
          - {{from: desk.main-left.out, to: pa.in, via: [cable-xlr 10 m]}}
        settings: {{desk: {{ch1: {{gain: 20 dB}}}}}}
        """
    assert (worst_of(text, "routing.one-side") is not None) is is_told


def test_a_laptop_whose_sound_goes_with_the_picture_is_not_told_as_silent() -> None:
    """HDMI carries the sound along; the projector gives it (common practice)."""
    text = """
        items:
          laptop: {type: laptop}
          projector: {type: projector-audio}
          hall: {type: loudspeaker-powered-inputs}
        links:
          - {from: laptop.hdmi, to: projector.hdmi, via: [cable-hdmi 5 m]}
          - {from: projector.audio, to: hall.stereo, via: [cable-mini 2 m]}
        """
    assert not [each for each in judged_text(text).findings if each.code == "routing.unheard"]


HALL = """
    items:
      vox: {type: mic-vocal-dynamic}
      desk: {type: mixer-compact-8}
      left: {type: loudspeaker-powered-12, at: [-4, 0, 2], aim: [0, 10, 1]}
      right: {type: loudspeaker-powered-12, at: [4, 0, 2], aim: AIM}
    sources: {anna: {type: voice-singer, at: vox, label: Anna}}
    links:
      - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}
      - {from: desk.main-left.out, to: left.in, via: [cable-xlr 10 m]}
      - {from: desk.OUT.out, to: right.in, via: [LEAD 10 m]}
    settings: {desk: {ch1: {SET}}}
    """


def hall(set_as: str, *, out: str = "main-right", aim: str = "[0, 10, 1]") -> Finding | None:
    """A pair before the audience, of which the right one perhaps gets nothing."""
    lead = "cable-xlr" if out == "main-right" else "lead-jack-balanced-xlr"
    text = HALL.replace("OUT", out).replace("LEAD", lead).replace("AIM", aim)
    return worst_of(text.replace("SET", set_as), "routing.no-signal")


@pytest.mark.parametrize(
    ("set_as", "out", "aim", "severity"),
    [
        ("pan: left", "main-right", "[0, 10, 1]", "fails"),  # half of the hall hears nothing
        ("gain: 30 dB", "aux1", "[0, 10, 1]", "fails"),  # on a send that is down
        ("gain: 30 dB", "aux1", "[4, -3, 1]", "care"),  # turned to the stage: a wedge
        ("gain: 30 dB", "main-right", "[0, 10, 1]", None),
    ],
)
def test_a_loudspeaker_of_the_audience_that_is_shut_out_by_hand_fails(
    set_as: str, out: str, aim: str, severity: str | None
) -> None:
    found = hall(set_as, out=out, aim=aim)
    assert (None if found is None else found.severity.value) == severity


def test_what_shuts_it_out_is_named_and_opened() -> None:
    found = hall("pan: left")
    assert found is not None
    assert "Anna could come there, and the pan of desk ch1 shuts the way" in found.what
    trial = tried_text(HALL_PANNED)
    finding = next(each for each in trial.judgement.findings if each.key == found.key)
    assert next(each.do for each in remedies_for(trial, finding)).startswith("Set desk.ch1.pan to")


def test_a_desk_that_nobody_has_set_yet_shuts_nothing_out() -> None:
    """A show that is being typed: sends stand where they stand."""
    text = HALL_SENT.replace("settings: {desk: {ch1: {gain: 30 dB}}}", "")
    found = worst_of(text, "routing.no-signal")
    assert found is not None
    assert found.severity.value == "care"


def test_an_output_that_nothing_could_come_to_is_care() -> None:
    """What the gear book does not draw, or a spare: nobody knows that it is meant to play."""
    text = """
    items:
      vox: {type: mic-vocal-dynamic}
      box: {type: stagebox-digital-16}
      desk: {type: mixer-digital-32}
      left: {type: loudspeaker-powered-12, at: [-4, 0, 2], aim: [0, 10, 1]}
      right: {type: loudspeaker-powered-12, at: [4, 0, 2], aim: [0, 10, 1]}
    sources: {anna: {type: voice-singer, at: vox}}
    links:
      - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 5 m]}
      - {from: desk.main-left.out, to: left.in, via: [cable-xlr 10 m]}
      - {from: box.net, to: desk.net, via: [cable-network 50 m]}
      - {from: box.line1.out, to: right.in, via: [cable-xlr 10 m]}
    settings: {desk: {ch1: {gain: 30 dB}}}
    """
    found = worst_of(text, "routing.no-signal")
    assert found is not None
    assert found.severity.value == "care"


HALL_SENT = (
    HALL.replace("OUT", "aux1")
    .replace("LEAD", "lead-jack-balanced-xlr")
    .replace("AIM", "[0, 10, 1]")
    .replace("SET", "gain: 30 dB")
)
HALL_PANNED = (
    HALL.replace("OUT", "main-right")
    .replace("LEAD", "cable-xlr")
    .replace("AIM", "[0, 10, 1]")
    .replace("SET", "pan: left")
)
