"""Remedies at inserts: the small plugs change places; how a socket is wired is nobody's to move."""

from __future__ import annotations

from levelhead.gear.book import load_book
from levelhead.planning.check import Check, check_show
from levelhead.show.document import parse_show
from levelhead.show.edits import AddItem, Plug, Set, apply

SWAPPED = "{ends: {a: desk.ch1.insert, send: comp.out, return: comp.in}, via: [lead-insert 2 m]}"
LONG = "{ends: {a: desk.ch1.insert, send: comp.in, return: comp.out}, via: [lead-insert 15 m]}"


def checked(lead: str, supply: str = "hall") -> Check:
    text = f"""\
levelhead: 1
show: {{name: Insert}}
items:
  vox: {{type: mic-vocal-dynamic}}
  desk: {{type: mixer-analogue-16, supply: hall}}
  comp: {{type: compressor, supply: {supply}}}
  pa: {{type: loudspeaker-powered-12, supply: hall}}
sources: {{anna: {{type: voice-singer, at: vox}}}}
links:
  - {{from: vox.out, to: desk.ch1.mic}}
  - {lead}
  - {{from: desk.main-left.out, to: pa.in}}
supplies: {{hall: {{outlet: A, circuit: "1"}}, stage: {{outlet: B, circuit: "2"}}}}
"""
    return check_show(parse_show(text, "insert").show, load_book())


def test_a_swapped_lead_is_mended_by_swapping_its_small_plugs() -> None:
    """Case wiring-insert-lead-swapped."""
    check = checked(SWAPPED)
    assert check.verdict == "fails"
    edits = [edit for each in check.findings for remedy in each.remedies for edit in remedy.edits]
    (lead,) = {edit.link for edit in edits if isinstance(edit, Plug) and "send" in edit.link.ends}
    assert lead.ends == {"a": "desk.ch1.insert", "send": "comp.in", "return": "comp.out"}
    assert not [edit for edit in edits if isinstance(edit, Set) and "wiring" in edit.address]


def test_what_hangs_on_the_wiring_is_said() -> None:
    (branch,) = checked(SWAPPED).depends_on
    assert branch.input == "desk.insert-wiring"
    assert dict(branch.branches)["tip-send"] == "fails"


def test_no_isolator_goes_into_an_insert() -> None:
    """Send and return would meet in one winding."""
    check = checked(LONG, "stage")
    hums = [each for each in check.findings if each.code.startswith("hum")]
    assert any(each.severity == "fails" for each in hums)
    offered = [edit for each in hums for remedy in each.remedies for edit in remedy.edits]
    assert not [edit for edit in offered if isinstance(edit, AddItem)]
    for edit in offered:
        assert apply(check.trial.show, [edit])


def test_a_swapped_lead_is_told_once_and_mended_in_one_sentence() -> None:
    """It was told of the lead, of both outputs, of the insert and of the singer."""
    check = checked(SWAPPED)
    bad = [each for each in check.findings if each.severity == "fails"]
    assert [each.code for each in bad] == ["wiring.insert-swapped"]
    assert "its send meets comp, output, its return comp, input" in bad[0].what
    assert "if the tip sends, as mostly" in bad[0].what
    assert [each.do for each in bad[0].remedies] == ["Swap the plugs in comp.out and comp.in"]
    unheard = [each for each in check.findings if each.code == "routing.unheard"]
    assert not unheard
