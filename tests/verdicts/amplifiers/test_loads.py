"""Loads on loudspeaker outputs: the least that an amplifier takes, and what a tap is made for."""

from __future__ import annotations

import pytest

from levelhead.verdicts.amplifiers.loads import LOAD, MATCH
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text, worst_of


def on_amplifier(load_ohm: float, least_ohm: float = 4.0) -> Finding:
    """A cabinet on an amplifier, by hardly any copper."""
    found = worst_of(
        f"""
        items:
          a: {{type: amplifier-two-channel, figures: {{ch.out.min-load: {least_ohm} ohm}}}}
          b: {{type: loudspeaker-passive-12, figures: {{in.impedance: {load_ohm} ohm}}}}
        links: [{{from: a.ch1.out, to: b.in, via: [cable-loudspeaker-4 0.1 m]}}]
        """,
        LOAD,
    )
    assert found is not None
    return found


@pytest.mark.reference("IEC 60268-5: the least modulus is 0.8 of the rated impedance or more")
@pytest.mark.parametrize(
    ("load_ohm", "severity"),
    [
        (8.0, Severity.FINE),
        (4.0, Severity.FINE),  # its dips to 3.2 ohm are what the rating allows for
        (3.85, Severity.FINE),  # within what ratings are good for
        (3.7, Severity.FAILS),
        (2.67, Severity.FAILS),
    ],
)
def test_a_load_against_the_least_that_the_amplifier_takes(
    load_ohm: float, severity: Severity
) -> None:
    finding = on_amplifier(load_ohm)
    assert finding.severity is severity
    assert finding.why[0].value == pytest.approx(load_ohm, rel=0.03)
    assert (finding.caution is None) is (severity is Severity.FINE)


def test_a_load_that_only_a_thin_lead_keeps_up_is_told() -> None:
    """2.67 ohm on 4: 0.8 of it are 2.1, under 3.2; with 1.3 ohm of copper (IEC 60228) it passes."""
    found = worst_of(
        """
        items:
          a: {type: amplifier-two-channel, figures: {ch.out.min-load: 4 ohm}}
          b: {type: loudspeaker-passive-12, figures: {in.impedance: 2.67 ohm}}
        links: [{from: a.ch1.out, to: b.in, via: [cable-loudspeaker-0-75 25 m]}]
        """,
        LOAD,
    )
    assert found is not None
    assert found.severity is Severity.CARE
    assert "sees 2.7 ohm, rated down to 4 ohm. It holds while the leads stay" in found.what
    assert on_amplifier(2.67).severity is Severity.FAILS


def test_each_half_of_a_bridge_sees_half() -> None:
    finding = worst_of(
        """
        items:
          a: {type: amplifier-bridgeable}
          b: {type: loudspeaker-passive-12, figures: {in.impedance: 4 ohm}}
        links: [{from: a.bridge, to: b.in, via: [cable-loudspeaker-4 1 m]}]
        settings: {a: {mode: bridge}}
        """,
        LOAD,
    )
    assert finding is not None
    assert finding.severity is Severity.FAILS
    assert "each half sees 2 ohm" in finding.what
    assert finding.why[2].value == pytest.approx(2.0, rel=0.03)


def on_tap(tap: str, load_ohm: float) -> Severity:
    """A cabinet on a tap of valves."""
    found = worst_of(
        f"""
        items:
          h: {{type: guitar-head-valve}}
          c: {{type: guitar-cabinet-16, figures: {{in.impedance: {load_ohm} ohm}}}}
        links: [{{from: h.{tap}, to: c.in, via: [cable-loudspeaker-jack 1 m]}}]
        """,
        MATCH,
    )
    assert found is not None
    return found.severity


@pytest.mark.parametrize(
    ("tap", "load_ohm", "severity"),
    [
        ("out-16ohm", 16.0, Severity.FINE),
        ("out", 11.5, Severity.FINE),
        ("out", 12.5, Severity.CARE),
        ("out", 16.0, Severity.CARE),
        ("out", 4.0, Severity.CARE),
        ("out-4ohm", 16.0, Severity.FAILS),
        ("out-16ohm", 4.0, Severity.FAILS),
    ],
)
def test_a_tap_wants_its_load_neither_less_nor_more(
    tap: str, load_ohm: float, severity: Severity
) -> None:
    assert on_tap(tap, load_ohm) is severity


@pytest.mark.reference("constant-voltage practice: watts add, the load is U squared over P")
@pytest.mark.parametrize(
    ("horns", "severity"), [(3, Severity.FINE), (4, Severity.FINE), (5, Severity.FAILS)]
)
def test_watts_of_horns_on_a_line_add(horns: int, severity: Severity) -> None:
    """Horns of 30 W on 120 W: four are the most; below their range their transformers may dip."""
    found = on_line_amplifier((30,) * horns, None, kind="loudspeaker-horn-100v")
    assert found.severity is severity
    assert found.why[0].value == pytest.approx(100**2 / (30 * horns), rel=0.02)


def test_a_dip_below_what_the_amplifier_takes_is_told_with_its_ohms() -> None:
    """A core of 20 mH: 126 ohm at 1 kHz would do for 83 ohm, and 16 ohm at 125 Hz do not."""
    found = worst_of(
        """
        items:
          amp: {type: amplifier-line-100v}
          box:
            type: loudspeaker-line-100v
            figures: {core.magnetising: 20 mH, core.primary: 10 ohm}
        links: [{from: amp.out-100v, to: box.in, via: [cable-loudspeaker-bare 5 m]}]
        """,
        LOAD,
    )
    assert found is not None
    assert found.severity is Severity.FAILS
    assert "at 1 kHz and" in found.what
    assert "at its lowest, rated down to 83 ohm" in found.what


def on_line_amplifier(
    taps_w: tuple[int, ...], box_ohm: float | None, kind: str = "loudspeaker-column-100v"
) -> Finding:
    """Loudspeakers on the 100 V output, and perhaps one on the 4 ohm output of the same stage."""
    names = [f"s{each}" for each in range(len(taps_w))]
    outs = ["amp.out-100v", *(f"{each}.link" for each in names)]
    items = [f"{each}: {{type: {kind}}}" for each in names]
    links = [
        f"{{from: {out}, to: {each}.in, via: [cable-loudspeaker-bare 5 m]}}"
        for out, each in zip(outs, names, strict=False)
    ]
    if box_ohm is not None:
        items += [f"box: {{type: loudspeaker-passive-8, figures: {{in.impedance: {box_ohm} ohm}}}}"]
        links += ["{from: amp.out-4ohm, to: box.in, via: [lead-loudspeaker-bare 2 m]}"]
    taps = [f"{each}: {{tap: {w}-w}}" for each, w in zip(names, taps_w, strict=True)]
    found = worst_of(
        f"""
        items: {{amp: {{type: amplifier-line-100v}}, {", ".join(items)}}}
        links: [{", ".join(links)}]
        settings: {{{", ".join(taps)}}}
        """,
        LOAD,
    )
    assert found is not None
    return found


@pytest.mark.reference("constant-voltage practice: watts of one amplifier add, U squared over P")
@pytest.mark.parametrize(
    ("taps_w", "box_ohm", "severity"),
    [
        ((20, 20, 20), None, Severity.FINE),  # 60 W of 120
        ((20, 20, 20), 8.0, Severity.FINE),  # and 21.9 V on 8 ohm are 60 W more: just 120
        ((20, 20, 20, 20), 8.0, Severity.FAILS),  # 80 and 60
        ((20, 20, 20, 20), None, Severity.FINE),
        ((), 4.0, Severity.FINE),  # 120
        ((20,), 4.0, Severity.FAILS),
    ],
)
def test_watts_on_all_outputs_of_one_stage_add(
    taps_w: tuple[int, ...], box_ohm: float | None, severity: Severity
) -> None:
    finding = on_line_amplifier(taps_w, box_ohm)
    assert finding.severity is severity
    if severity is Severity.FAILS and box_ohm is not None:
        share = finding.why[0].limit / finding.why[0].value  # type: ignore[operator]
        asked_w = sum(taps_w) + 21.9**2 / box_ohm
        assert 120 * share == pytest.approx(asked_w, rel=0.02)
        assert "one stage drives it all" in finding.what
        assert "of its 120 W." in finding.what


def test_what_is_too_much_together_is_told_once() -> None:
    """Each output alone is fine or not: the sum says it all."""
    both = """
        items:
          amp: {type: amplifier-line-100v}
          box: {type: loudspeaker-passive-8, figures: {in.impedance: 2 ohm}}
          col: {type: loudspeaker-column-100v, figures: {coil.impedance: 1 ohm}}
        links:
          - {from: amp.out-100v, to: col.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: amp.out-4ohm, to: box.in, via: [lead-loudspeaker-bare 2 m]}
        """
    bad = [
        each
        for each in judged_text(both).findings
        if each.code == LOAD and each.severity is not Severity.FINE
    ]
    assert len(bad) == 1


def test_horns_beside_a_box_of_full_range_keep_their_own_range() -> None:
    """The transformer of a horn dips below 300 Hz, which no rating counts; the box plays there."""
    found = worst_of(
        """
        items:
          amp: {type: amplifier-line-100v}
          horn: {type: loudspeaker-horn-100v}
          other: {type: loudspeaker-horn-100v}
          box: {type: loudspeaker-passive-8}
        links:
          - {from: amp.out-100v, to: horn.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: horn.link, to: other.in, via: [cable-loudspeaker-bare 5 m]}
          - {from: amp.out-4ohm, to: box.in, via: [lead-loudspeaker-bare 2 m]}
        settings: {horn: {tap: 30-w}, other: {tap: 30-w}}
        """,
        LOAD,
    )
    assert found is not None
    assert found.severity is Severity.FINE


def test_cabinets_on_two_taps_of_one_transformer_count_as_one_load() -> None:
    """8 ohm on the tap for 8 and 16 on that for 16: the valves see half of what they want."""
    found = worst_of(
        """
        items:
          h: {type: guitar-head-valve}
          one: {type: guitar-cabinet}
          other: {type: guitar-cabinet-16}
        links:
          - {from: h.out, to: one.in, via: [cable-loudspeaker-jack 1 m]}
          - {from: h.out-16ohm, to: other.in, via: [cable-loudspeaker-jack 1 m]}
        """,
        MATCH,
    )
    assert found is not None
    assert found.severity is Severity.CARE
    assert found.why[1].value == pytest.approx(0.5, rel=0.05)


def test_cabinets_of_twice_the_ohms_on_two_taps_are_the_load_that_the_valves_want() -> None:
    """16 ohm on the tap for 8 and 8 on that for 4: half and half, each by itself off by two."""
    judged = judged_text(
        """
        items:
          h: {type: guitar-head-valve}
          one: {type: guitar-cabinet-16}
          other: {type: guitar-cabinet}
        links:
          - {from: h.out, to: one.in, via: [cable-loudspeaker-jack 1 m]}
          - {from: h.out-4ohm, to: other.in, via: [cable-loudspeaker-jack 1 m]}
        """
    )
    (found,) = (each for each in judged.findings if each.code == MATCH)
    assert found.severity is Severity.FINE
    assert found.why[1].value == pytest.approx(1.0, rel=0.05)


@pytest.mark.parametrize(
    "plug", ["[lead-xlr-jack-balanced 3 m]", "[cable-headphone-extension 3 m]"]
)
def test_a_lead_that_does_not_fit_leaves_other_leads_as_they_are(plug: str) -> None:
    """Two outputs of one winding, and before them in the file a lead with or without its plug."""
    told = judged_text(
        f"""
        items:
          pre: {{type: preamp-mic}}
          amp: {{type: amplifier-line-100v}}
          line: {{type: loudspeaker-line-100v}}
          box: {{type: loudspeaker-passive-8}}
        links:
          - {{from: pre.out, to: amp.in, via: {plug}}}
          - {{from: amp.out-100v, to: line.in, via: [cable-loudspeaker-bare 5 m]}}
          - {{from: amp.out-4ohm, to: box.in, via: [lead-loudspeaker-bare 5 m]}}
        """
    )
    assert {each.where for each in told.findings if each.code == LOAD} == {
        "amp.out-100v",
        "amp.out-4ohm",
    }
