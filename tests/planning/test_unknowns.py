"""Controls that nobody knows: tried branch by branch, with the setting at which they turn."""

from __future__ import annotations

from itertools import pairwise

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.figures import Figure
from levelhead.planning.asked.answer import Question, answer
from levelhead.planning.check import Check, check_show
from levelhead.planning.settle import Branch
from levelhead.planning.trial import try_show
from levelhead.planning.unknowns import unknown_branches, verdict_with_unknowns
from levelhead.show.model import Item, Link, Show, Source
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.severity import Severity


def duo(*, locks: frozenset[str] = frozenset(), **settings: str) -> Show:
    """A singer and a laptop on a compact mixer."""
    return Show(
        "duo",
        items={
            "vox": Item("vox", "mic-vocal-dynamic"),
            "lap": Item("lap", "laptop"),
            "desk": Item("desk", "mixer-compact"),
        },
        sources={"anna": Source("anna", "voice-singer", "vox")},
        links=(
            Link({"a": "vox.out", "b": "desk.ch1.mic"}),
            Link({"a": "lap.phones", "b": "desk.ch2.line"}),
        ),
        settings={
            "desk.ch1.gain": "37 dB",
            "desk.ch2.gain": "10 dB",
            **{name.replace("__", "."): text for name, text in settings.items()},
        },
        locks=locks,
    )


def checked(show: Show) -> Check:
    return check_show(show, load_book())


def test_an_unknown_switch_that_changes_nothing_is_no_branch() -> None:
    """A dynamic microphone and a laptop: phantom power on or off is the same."""
    check = checked(duo(desk__ch1__pfl="unknown"))
    assert check.depends_on == ()
    assert check.verdict is checked(duo()).verdict


def test_an_unknown_gain_turns_where_the_signal_clips() -> None:
    """The two settings beside the turn lie half a decibel apart, and are what they are said."""
    check = checked(duo(desk__ch1__gain="unknown"))
    (branch,) = check.depends_on
    assert branch.input == "desk.ch1.gain"
    assert check.verdict in {Severity.CARE, Severity.FAILS}
    settings = [(float(text.removesuffix(" dB")), verdict) for text, verdict in branch.branches]
    turns = [(one, other) for one, other in pairwise(settings) if one[1] is not other[1]]
    assert turns
    for (low_db, _), (high_db, _) in turns:
        assert 0 < high_db - low_db <= 0.5
    clean = [db for db, verdict in settings if verdict is not Severity.FAILS]
    assert min(clean) < 37 < max(clean)


def test_a_lock_on_an_unknown_is_told() -> None:
    (branch,) = checked(
        duo(desk__ch1__gain="unknown", locks=frozenset({"desk.ch1.gain"}))
    ).depends_on
    assert branch.is_locked
    assert branch.ask == (
        "Where does the gain of desk ch1 stand? It is locked, so look, do not move it."
    )


def test_the_position_of_least_regret_is_named() -> None:
    branch = Branch("a.b", (("off", Severity.FAILS), ("on", Severity.CARE)))
    assert branch.best == "on"
    assert branch.to_json()["best"] == "on"


@pytest.mark.parametrize(
    ("verdict", "outcomes", "expected"),
    [
        (Severity.FINE, (), Severity.FINE),
        (Severity.FINE, (Severity.FINE, Severity.FAILS), Severity.CARE),
        (Severity.FAILS, (Severity.FINE, Severity.FAILS), Severity.FAILS),
        (Severity.FINE, (Severity.FINE, Severity.HARM), Severity.HARM),
    ],
)
def test_a_verdict_with_unknowns(
    verdict: Severity, outcomes: tuple[Severity, ...], expected: Severity
) -> None:
    branches = (Branch("a.b", tuple(zip("abc", outcomes, strict=False))),) if outcomes else ()
    assert verdict_with_unknowns(verdict, branches) is expected


def test_an_unknown_volume_is_a_doubt_of_what_follows() -> None:
    """Evenly over the part of its travel that people use; it stands among what was taken."""
    check = checked(duo(lap__volume="unknown"))
    finding = next(
        each for each in check.findings if each.where == "desk.ch2.line" and each.family == "enough"
    )
    assert any("volume of lap" in each and "not known" in each for each in finding.taken)


def test_a_question_about_an_unknown_names_it() -> None:
    question = Question("laptop headphones", "mixer line", settings={"laptop.volume": "unknown"})
    told = answer(question, load_book())
    known = answer(Question("laptop headphones", "mixer line"), load_book())
    assert [branch.input for branch in told.depends_on if branch not in known.depends_on] in (
        [],
        ["laptop.volume"],
    )
    assert told.verdict.rank >= known.verdict.rank


def test_an_even_doubt_counts_as_much_as_it_covers() -> None:
    """5 dB to spare of a control that stands anywhere from -10 to +10 dB: three times in four."""
    control = Doubt("volume", "fact", Figure(0.0, -10.0, 10.0, "dB", "typical"), -1.0, is_even=True)
    state = LimitState(5.0, "dB", lambda: (control,), is_open=True)
    assert state.p_holds == pytest.approx(0.75, abs=0.01)
    assert state.severity(ample=3.0) is Severity.CARE
    (flip,) = state.flips()
    assert (flip.from_, flip.to) == ("0.0 dB", "5.0 dB")


def test_figures_measured_on_this_unit_are_named() -> None:
    show = duo()
    vox = Item("vox", "mic-vocal-dynamic", figures={"capsule.sensitivity": "2.4 mV/Pa"})
    measured = Show(
        "duo", items={**show.items, "vox": vox}, sources=show.sources, links=show.links,
        settings=show.settings,
    )  # fmt: skip
    finding = next(each for each in checked(measured).findings if each.where == "desk.ch1.mic"
                   and each.family == "enough")  # fmt: skip
    assert "measured: sensitivity of vox capsule" in finding.to_json()["source"]
    before = next(each for each in checked(show).findings if each.key == finding.key)
    assert finding.state is not None
    assert before.state is not None
    assert finding.state.spread < before.state.spread


def test_trying_unknowns_is_given_up_between_two_positions() -> None:
    """Who waits is asked before each position; what is raised there ends it."""
    trial = try_show(duo(desk__ch1__gain="unknown"), load_book())
    asked = []

    def go_on() -> None:
        asked.append(1)
        if len(asked) == 3:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        unknown_branches(trial, go_on)
    assert len(asked) == 3
