"""Colours of a seats map, on screens and on paper."""

from __future__ import annotations

from typing import Final

from levelhead.drawing.diagram_style import DARK, LIGHT, PRINT

__all__ = ["CLASS", "STEPS", "seat_map_style"]

CLASS: Final = "seat-map"
STEPS: Final = {  # from least to most: on light, on dark, on paper; text on each has 7 or more
    "light": ("#f4f8f9", "#dae7eb", "#c2d7de", "#abc8d2", "#96b9c7", "#80acbc"),
    "dark": ("#121619", "#1b262c", "#22333b", "#293f48", "#2f4a55", "#355562"),
    "print": ("#fafafa", "#e9e9e9", "#d9d9d9", "#cacaca", "#bbbbbb", "#aeaeae"),
}
_RULES: Final = """\
SCOPE text{fill:var(--ink);font-size:15px;font-variant-numeric:tabular-nums}
SCOPE .title{font-weight:600;font-size:20px}
SCOPE .item{font-weight:600}
SCOPE .ground{fill:var(--ground)}
SCOPE .quiet{fill:var(--quiet)}
SCOPE .wall{fill:none;stroke:var(--ink);stroke-width:3;stroke-linejoin:miter}
SCOPE .stage{stroke:var(--ink);stroke-width:1.4;stroke-dasharray:9 5}
SCOPE .parts{fill:none;stroke:var(--ink);stroke-width:1.4}
SCOPE .rule{fill:none;stroke:var(--ink);stroke-width:1.6}
SCOPE .box{fill:var(--ink)}
SCOPE .halo{stroke:var(--ground);stroke-width:5;stroke-linejoin:round;paint-order:stroke}
"""


def seat_map_style(class_: str = CLASS, *, on_paper: bool = False) -> str:
    """Rules for a drawing of this class: colours of docs/visual-language.md, tones of the cells."""
    scope = f".{class_}"
    faces = 'font-family:system-ui,"IBM Plex Sans",sans-serif'
    tones = "".join(f"{scope} .s{number}{{fill:var(--s{number})}}\n" for number in range(6))
    rules = f"{_RULES.replace('SCOPE', scope)}{tones}"
    if on_paper:
        for name, colour in _colours("print").items():
            rules = rules.replace(f"var(--{name})", colour)
        return f"{scope}{{{faces}}}\n{rules}"
    return (
        f"{scope}{{{faces};{_variables('light')}}}\n{rules}"
        f"@media (prefers-color-scheme:dark){{{scope}{{{_variables('dark')}}}}}\n"
        f"@media print{{{scope}{{{_variables('print')}}}}}\n"
    )


def _colours(scheme: str) -> dict[str, str]:
    """All colours of a scheme by name."""
    palette = {"light": LIGHT, "dark": DARK, "print": PRINT}[scheme]
    return {**palette, **{f"s{number}": tone for number, tone in enumerate(STEPS[scheme])}}


def _variables(scheme: str) -> str:
    return ";".join(f"--{name}:{colour}" for name, colour in _colours(scheme).items())
