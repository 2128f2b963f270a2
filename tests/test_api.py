"""Levelhead from Python: five lines do it, and what they give prints well."""

from __future__ import annotations

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

import levelhead
from levelhead.chain.solution import Solution
from levelhead.errors import AskError, PaperError, ShowError, SolveError
from levelhead.planning.check import Check
from levelhead.show.edits import Set, apply

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "src" / "levelhead" / "examples"
DUO = EXAMPLES / "duo-in-a-pub.yaml"
HALL = EXAMPLES / "village-hall.yaml"


@pytest.fixture(scope="module")
def duo() -> Solution:
    return levelhead.solve(DUO)


# ---------------------------------------------------------------- the manual


@pytest.fixture
def evening(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the shows that the manual speaks of."""
    (tmp_path / "friday.yaml").write_bytes(DUO.read_bytes())
    (tmp_path / "hall.yaml").write_bytes(HALL.read_bytes())
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_manual_shows_what_python_says() -> None:
    """That its outputs are real is a test of all pages; here, that there are examples of all."""
    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    examples = "".join(re.findall(r"```pycon\n(.*?)```", page, re.DOTALL))
    assert examples.count(">>> ") > 15
    assert {name for name in levelhead.__all__ if f"levelhead.{name}(" in examples} >= {
        *("load", "save", "solve", "check", "ask", "plot"),
    }


def test_the_five_lines_of_the_readme_run(
    evening: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.search(r"```python\n(import levelhead\n.*?)```", text, re.DOTALL)
    assert block is not None
    assert len(block[1].split("\n\n", 1)[-1].splitlines()) + 1 == 5
    exec(compile(block[1], "README.md", "exec"), {})  # noqa: S102  # our own page
    assert "Duo in a pub, version 1" in capsys.readouterr().out
    assert (evening / "friday.svg").exists()


def test_every_name_is_in_the_manual() -> None:
    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    for name in levelhead.__all__:
        assert f"`{name}" in page or f"levelhead.{name}" in page


# ---------------------------------------------------------------- quick to import


def test_importing_and_help_load_no_library() -> None:
    """Even numpy waits until something is solved."""
    libraries = {"numpy", "scipy", "pydantic", "ruamel", "markupsafe", "jinja2"}
    code = (
        "import sys, contextlib, levelhead, levelhead.cli\n"
        "with contextlib.suppress(SystemExit): levelhead.cli.main(['check', '--help'])\n"
        f"print('LOADED', *sorted({libraries} & set(sys.modules)))"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.splitlines()[-1] == "LOADED"


def test_the_names_are_offered_and_no_others() -> None:
    assert set(levelhead.__all__) <= set(dir(levelhead))
    for name in levelhead.__all__:
        assert callable(getattr(levelhead, name))
    with pytest.raises(AttributeError, match="no attribute 'lode'"):
        _ = levelhead.lode


# ---------------------------------------------------------------- what it does


def test_a_show_is_taken_as_a_path_a_document_and_a_value(duo: Solution) -> None:
    document = levelhead.load(str(DUO))
    for show in (DUO, str(DUO), document, document.show):
        assert levelhead.solve(show).levels("desk.ch1.preamp") == duo.levels("desk.ch1.preamp")


def test_a_changed_show_is_solved_from_the_one_before(duo: Solution) -> None:
    document = levelhead.load(DUO)
    show, _ = apply(document.show, [Set("desk.ch1.gain", "25 dB")])
    louder = levelhead.solve(show, previous=duo)
    before, after = duo.levels("desk.ch1.preamp"), louder.levels("desk.ch1.preamp")
    assert before.nominal is not None
    assert after.nominal == pytest.approx(before.nominal - 10, abs=0.01)  # it stood at 35 dB


def test_a_save_keeps_comments(tmp_path: Path) -> None:
    document = levelhead.load(HALL)
    show, _ = apply(document.show, [Set("desk.phantom", "on")])
    place = tmp_path / "mended.yaml"
    levelhead.save(document.with_show(show), place)
    text = place.read_text(encoding="utf-8")
    assert "phantom: on" in text
    assert "# what differs from the default" in text


def test_own_gear_is_used(tmp_path: Path) -> None:
    folder = tmp_path / "gear"
    folder.mkdir()
    with pytest.raises(ShowError, match="unknown gear type 'our-box'"):
        levelhead.check(_show_with(tmp_path, "our-box"), gear=folder)


def _show_with(folder: Path, type_id: str) -> Path:
    place = folder / "show.yaml"
    place.write_text(
        f'levelhead: 1\nshow: {{name: "T"}}\nitems: {{a: {{type: {type_id}}}}}\n', encoding="utf-8"
    )
    return place


def test_a_plot_is_written_and_given_back(tmp_path: Path, duo: Solution) -> None:
    place = tmp_path / "duo.svg"
    drawing = levelhead.plot(duo, place, through=["mia", "top-right"])
    assert place.read_text(encoding="utf-8") == drawing == drawing._repr_svg_()
    assert "Mia (mia) to Right loudspeaker (top-right)" in drawing
    assert levelhead.plot(DUO, through="mia") == levelhead.plot(duo, through=["mia"])


def test_a_place_that_will_not_do_is_refused_before_anything_is_solved(tmp_path: Path) -> None:
    with pytest.raises(PaperError, match=r"ends in \.svg"):
        levelhead.plot(tmp_path / "no-such-show.yaml", tmp_path / "duo.png")
    with pytest.raises(PaperError, match="Name another place"):
        levelhead.plot(DUO, tmp_path / "no" / "duo.svg")
    with pytest.raises(SolveError, match="Did you mean 'mia'"):
        levelhead.plot(DUO, through="miaa")


def test_a_question_is_answered() -> None:
    answer = levelhead.ask("amp speaker out", "powered loudspeaker line input")
    assert answer.verdict.value == "harm"
    assert "\nHARM    " in str(answer)
    assert "\nCAUTION " in str(answer)
    with pytest.raises(AskError, match="zebra"):
        levelhead.ask("zebra", "mixer")


# ---------------------------------------------------------------- how it prints


def test_a_solution_prints_as_a_short_table(duo: Solution) -> None:
    """The figures of the way from Mia's mouth to the monitor, as the levels have them."""
    lines = str(duo).splitlines()
    assert repr(duo) == str(duo)
    assert all(len(line) <= 80 for line in lines)
    driver = duo.levels("monitor.driver")
    assert driver.nominal is not None
    assert driver.headroom is not None
    row = next(line for line in lines if line.startswith("mia "))
    assert row.split()[:5] == [
        *("mia", "monitor", f"{driver.nominal:.1f}", "dB", "SPL"),
    ]
    assert f" {driver.headroom:.1f} monitor.driver " in row


def test_a_notebook_shows_the_diagram(duo: Solution) -> None:
    """What a notebook calls at the end of a cell: no notebook is needed to see what it gets."""
    svg = duo._repr_svg_()  # type: ignore[attr-defined]
    assert ET.fromstring(svg).tag.endswith("svg")  # noqa: S314  # our own drawing
    html = duo._repr_html_()  # type: ignore[attr-defined]
    assert svg in html
    assert "Jon" in html
    assert "<script" not in html


def test_a_check_prints_its_verdict_findings_and_cautions() -> None:
    check = levelhead.check(HALL)
    lines = str(check).splitlines()
    assert isinstance(check, Check)
    assert lines[0].startswith("HARM    Evening in the village hall, version 2")
    assert " harm, " in lines[0]
    assert [line[:7] for line in lines[1:3]] == ["HARM   ", "      >"]
    assert lines[-1].startswith("CAUTION Loudspeaker outputs of amplifiers")
    html = check._repr_html_()
    assert html.count("<tr>") == len(lines)


def test_labels_are_escaped_in_html(tmp_path: Path) -> None:
    place = _show_with(tmp_path, "mic-vocal-condenser")
    place.write_text(place.read_text().replace('"T"', '"<b>T&"'), encoding="utf-8")
    assert "<b>T" not in levelhead.check(place)._repr_html_()
    assert "<b>T" not in levelhead.solve(place)._repr_html_()  # type: ignore[attr-defined]
