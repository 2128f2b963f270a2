"""The style sheet of a drawing that stands alone, for screen (light, dark) and print.

The colours are those of docs/visual-language.md; on paper all is black on white.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

__all__ = ["DARK", "LIGHT", "PRINT", "paper_style", "style_sheet"]

LIGHT: Final[Mapping[str, str]] = {
    "ground": "#f8f7f3",
    "ink": "#14181b",
    "quiet": "#454c52",
    "line": "#777e84",
    "bar": "#3a5a66",
    "fails": "#8f2700",
}
DARK: Final[Mapping[str, str]] = {
    "ground": "#0f1214",
    "ink": "#f2f1ec",
    "quiet": "#bfc4c8",
    "line": "#878e94",
    "bar": "#9cc3d1",
    "fails": "#ffa27d",
}
PRINT: Final[Mapping[str, str]] = {
    "ground": "#ffffff",
    "ink": "#000000",
    "quiet": "#333333",
    "line": "#777777",
    "bar": "#555555",
    "fails": "#000000",
}

_RULES: Final = """\
SCOPE text{fill:var(--ink);font-variant-numeric:tabular-nums}
SCOPE path{fill:none;stroke-linejoin:round}
SCOPE .ground{fill:var(--ground)}
SCOPE .quiet,SCOPE .tick{fill:var(--quiet)}
SCOPE .title,SCOPE .item,SCOPE .unit,SCOPE .over{font-weight:600}
SCOPE .over{fill:var(--fails)}
SCOPE .rule{stroke:var(--ink);stroke-width:2}
SCOPE .step{stroke:var(--ink);stroke-width:1.2}
SCOPE .grid{stroke:var(--line);stroke-width:.6;stroke-dasharray:1 5}
SCOPE .lane{stroke:var(--line);stroke-width:.6}
SCOPE .hatch{stroke:var(--line);stroke-width:1.2}
SCOPE .thread{stroke:var(--quiet);stroke-width:1.2}
SCOPE .floor-edge{stroke:var(--ink);stroke-width:1.6;stroke-dasharray:3 2}
SCOPE .programme{stroke:var(--bar);stroke-width:7}
SCOPE .lost{stroke:var(--fails);stroke-dasharray:4 3}
SCOPE .nominal{fill:var(--ground);stroke:var(--ink);stroke-width:2.5}
SCOPE .peak{fill:var(--ink)}
SCOPE .ceiling{stroke:var(--ink);stroke-width:5}
SCOPE .least{fill:none;stroke:var(--ink);stroke-width:1.6}
"""
_TYPEFACES: Final = 'system-ui,"IBM Plex Sans",sans-serif'


def style_sheet(class_: str) -> str:
    """Rules for the elements inside a drawing of this class, and for no others on a page."""
    scope = f".{class_}"
    return (
        f"{scope}{{font-family:{_TYPEFACES};{_variables(LIGHT)}}}\n"
        f"{_RULES.replace('SCOPE', scope)}"
        f"@media (prefers-color-scheme:dark){{{scope}{{{_variables(DARK)}}}}}\n"
        f"@media print{{{scope}{{{_variables(PRINT)}}}}}\n"
    )


def paper_style(class_: str) -> str:
    """The same for paper alone: black on white, and without variables."""
    rules = _RULES.replace("SCOPE", f".{class_}")
    for name, colour in PRINT.items():
        rules = rules.replace(f"var(--{name})", colour)
    return f'.{class_} text{{font-family:"IBM Plex Sans"}}\n{rules}'


def _variables(palette: Mapping[str, str]) -> str:
    return ";".join(f"--{name}:{colour}" for name, colour in palette.items())
