"""Figures of the gear book on which verdicts hang: counted, named, ranked."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from levelhead.gear.book import GearBook, load_book
from levelhead.gear.compile.addresses import figure_addresses
from levelhead.planning.trial import Trial, try_show
from levelhead.planning.weak_figures import WeakFigure, weak_figures
from levelhead.show.document import load_show, parse_show
from levelhead.show.edits import SetFigure, apply

NOT_OF_THE_BOOK = ("hum.", "people.residual-current")
EXAMPLES = sorted((Path(__file__).parents[2] / "src" / "levelhead" / "examples").glob("*.yaml"))

# A line output of at most 22 dBu, 9.8 V, straight into an input that survives 10 V: a near thing.
NEAR = """\
levelhead: 1
show: {name: "A near thing"}
items:
  desk: {type: mixer-compact}
  box: {type: loudspeaker-powered-12, figures: {in.damage: 10 V}}
links: [{from: desk.main-left.out, to: box.in, via: [cable-xlr 5 m]}]
"""


@pytest.fixture(scope="module")
def book() -> GearBook:
    return load_book()


@pytest.fixture(scope="module")
def examples(book: GearBook) -> list[Trial]:
    return [try_show(load_show(path).show, book) for path in EXAMPLES]


@pytest.fixture(scope="module")
def weak(examples: list[Trial]) -> tuple[WeakFigure, ...]:
    return weak_figures(examples)


def test_the_input_that_is_nearly_hurt_hangs_on_what_it_survives(book: GearBook) -> None:
    """17.3 V into an input of 18 to 30 V: 2.1 dB, under three spreads of 1.11 dB."""
    text = NEAR.replace("mixer-compact}", "mixer-compact, figures: {main.level.ceiling: +27 dBu}}")
    show = parse_show(text.replace(", figures: {in.damage: 10 V}", ""), "near.yaml").show
    each = next(w for w in weak_figures([try_show(show, book)]) if w.address == "in.damage")
    assert each.turns == (("A near thing", "harm.level", "box.in"),)
    assert (each.texts, each.figure.source) == (("24 V", "18 V", "35 V"), "common practice")


def test_every_figure_can_be_written_into_a_show(
    weak: tuple[WeakFigure, ...], book: GearBook
) -> None:
    """What the list calls a figure is what 'figures' of an item takes."""
    for each in weak:
        entry = book.entry(each.type_id)
        if entry.ends is None:
            assert each.address in set(figure_addresses(entry)), each


def test_the_most_turned_stand_first(weak: tuple[WeakFigure, ...]) -> None:
    turns = [len(each.turns) for each in weak]
    assert turns == sorted(turns, reverse=True)
    assert all(each.turns or each.heaviest for each in weak)


def test_findings_are_counted_as_the_findings_themselves_tell(
    examples: list[Trial], weak: tuple[WeakFigure, ...]
) -> None:
    """Each finding has one heaviest doubt about gear at most, and is counted there once.

    What hum and trips hang on besides (leakage of supplies, the room) is no figure of gear.
    """
    doubted = sum(
        not finding.code.startswith(NOT_OF_THE_BOOK)
        and finding.state is not None
        and any(doubt.kind == "fact" for doubt in finding.state.doubts)
        for trial in examples
        for finding in trial.judgement.findings
    )
    codes = [code for each in weak for _, code, _ in each.heaviest]
    counted = [code for code in codes if not code.startswith(NOT_OF_THE_BOOK)]
    assert len(counted) == doubted > 10


def test_a_figure_that_was_measured_is_no_longer_weak(book: GearBook) -> None:
    text = NEAR.replace("mixer-compact}", "mixer-compact, figures: {main.level.ceiling: +27 dBu}}")
    show = parse_show(text, "near.yaml").show
    typical, _ = apply(show, [SetFigure("box", "in.damage", None)])
    names = [
        {(each.type_id, each.address) for each in weak_figures([try_show(one, book)])}
        for one in (typical, show)
    ]
    assert ("loudspeaker-powered-12", "in.damage") in names[0] - names[1]


def test_the_chance_to_turn_is_that_of_a_normal_spread(book: GearBook) -> None:
    """Expected turns of one figure over one finding: half of erfc(margin / spread / root of 2)."""
    trial = try_show(load_show(EXAMPLES[0].with_name("village-hall.yaml")).show, book)
    each = next(
        w
        for w in weak_figures([trial])
        if w.type_id == "loudspeaker-powered-12" and w.address == "in.damage"
    )
    findings = [f for f in trial.judgement.findings if f.where == "foyer.in" and f.state]
    expected = sum(
        0.5 * math.erfc(abs(f.margin or 0.0) / doubt.weight / math.sqrt(2))
        for f in findings
        for doubt in f.state.doubts
        if doubt.figure is each.figure
    )
    assert each.expected == pytest.approx(expected, abs=1e-6)


def test_no_show_no_weak_figure() -> None:
    assert weak_figures([]) == ()
