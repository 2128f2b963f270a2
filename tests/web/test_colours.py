"""The colours of the style sheet, by the contrast formula of the web's accessibility guidelines."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import levelhead.paper
from levelhead.drawing.diagram_style import DARK, LIGHT
from levelhead.web.files.kept_files import STATIC_FOLDER

GUIDE = Path(__file__).parents[2] / "docs" / "visual-language.md"
TEXTS = ("ink", "quiet", "fine", "care", "fails", "harm", "depends")
DRAWN = ("line", "bar")
LEAST_TEXT = 7.0  # WCAG 2.1, 1.4.6, level AAA
LEAST_DRAWN = 3.0  # WCAG 2.1, 1.4.11

Palette = dict[str, str]


PAGE = STATIC_FOLDER / "page.css"
PHONE = Path(levelhead.paper.__file__).with_name("phone.css")


def palettes(sheet: Path = PAGE) -> dict[str, Palette]:
    """Colours by name, in light and in dark."""
    css = sheet.read_text(encoding="utf-8")
    light, dark = (
        dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6});", block))
        for block in re.findall(r":root \{(.*?)\}", css, flags=re.DOTALL)[:2]
    )
    return {"light": light, "dark": dark}


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1, definition."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.1, definition."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_show_day_has_the_palette_of_the_page() -> None:
    """It is dark whatever the device says, so it has both schemes once more; they stay the same."""
    css = (STATIC_FOLDER / "day" / "dark.css").read_text(encoding="utf-8")
    dark, light = (
        dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6});", block))
        for block in re.findall(r":root(?:\[data-light\])? \{(.*?)\}", css, flags=re.DOTALL)
    )
    assert {"light": light, "dark": dark} == palettes()


@pytest.mark.reference("WCAG 2.1, definitions of relative luminance and contrast ratio")
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.48), ("#767676", "#ffffff", 4.54)],
)
def test_the_formula_gives_the_known_ratios(one: str, other: str, ratio: float) -> None:
    """21:1 is in the definition; #767676 is known as the lightest grey that passes 4.5:1."""
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", [*TEXTS, *DRAWN])
def test_colours_stand_out_from_both_grounds(scheme: str, name: str) -> None:
    palette = palettes()[scheme]
    least = LEAST_TEXT if name in TEXTS else LEAST_DRAWN
    for ground in ("ground", "raised"):
        assert contrast(palette[name], palette[ground]) >= least


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_guide_prints_these_colours_and_ratios(scheme: str) -> None:
    guide = GUIDE.read_text(encoding="utf-8")
    palette = palettes()[scheme]
    for name in (*TEXTS, *DRAWN):
        ratio = contrast(palette[name], palette["ground"])
        assert f"`{palette[name]}` {ratio:.1f}" in guide


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_page_phone_sheet_and_drawings_have_the_same_colours(scheme: str) -> None:
    """One palette, in three places that cannot read one another's files."""
    page = palettes()[scheme]
    for other in (palettes(PHONE)[scheme], {"light": LIGHT, "dark": DARK}[scheme]):
        assert other
        assert {name: page[name] for name in other} == other
