"""How a flow drawing looks: the rules of its parts, for screen (light, dark) and for paper.

The colours are those of docs/visual-language.md. In the app the page has the colours, so it takes
the rules alone (``web/static/build/flow.css``).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from levelhead.drawing.diagram_style import DARK, LIGHT, PRINT

__all__ = ["CLASS", "VERDICT_COLOURS", "page_rules", "paper_style", "standing_style"]

CLASS: Final = "flow"
VERDICT_COLOURS: Final = {  # verdicts: light, dark; docs/visual-language.md
    "care": ("#6b4200", "#f5c062"),
    "fails": ("#8f2700", "#ffa27d"),
    "harm": ("#86002f", "#ff9db8"),
}
_BLACK: Final = "#000000"
_SCREEN_FACES: Final = 'font-family:system-ui,"IBM Plex Sans",sans-serif'
_PAPER_FACES: Final = 'font-family:"IBM Plex Sans"'
_RULES: Final = """\
SCOPE text{fill:var(--ink);font-size:15px}
SCOPE .title{font-weight:600;font-size:17px}
SCOPE .quiet{fill:var(--quiet)}
SCOPE .box{fill:var(--ground);stroke:var(--ink);stroke-width:1.6}
SCOPE .head{stroke:var(--line);stroke-width:1}
SCOPE .lead{fill:none;stroke:var(--ink);stroke-width:1.6;stroke-linejoin:round}
SCOPE .halo{fill:none;stroke:var(--ground);stroke-width:6;stroke-linejoin:round}
SCOPE .trunk{stroke-width:3.2}
SCOPE .loudspeaker{stroke-width:4.5}
SCOPE .digital{stroke-dasharray:2 4}
SCOPE .return{stroke-dasharray:9 5}
SCOPE .plug{fill:var(--ink)}
SCOPE .free{fill:var(--ground);stroke:var(--quiet);stroke-width:1.4}
SCOPE text.free{fill:var(--quiet);stroke:none}
SCOPE .cut{stroke:var(--ground)}
"""


def page_rules() -> str:
    """The rules for a page that has the colours itself."""
    return _rules(f".{CLASS}")


def standing_style() -> str:
    """The style sheet of a drawing that stands alone: light or dark as the device is, and print."""
    scope = f".{CLASS}"
    return (
        f"{scope}{{{_SCREEN_FACES};{_variables(LIGHT, 0)}}}\n{_rules(scope)}"
        f"@media (prefers-color-scheme:dark){{{scope}{{{_variables(DARK, 1)}}}}}\n"
        f"@media print{{{scope}{{{_variables(PRINT, None)}}}}}\n"
    )


def paper_style() -> str:
    """The same for paper alone: black on white, and without variables."""
    rules = _rules(f".{CLASS}")
    for name, colour in _colours(PRINT, None).items():
        rules = rules.replace(f"var(--{name})", colour)
    return f".{CLASS} text{{{_PAPER_FACES}}}\n{rules}"


def _rules(scope: str) -> str:
    marks = "".join(f"{scope} .{name}{{color:var(--{name})}}\n" for name in VERDICT_COLOURS)
    return _RULES.replace("SCOPE", scope) + marks


def _colours(palette: Mapping[str, str], tone: int | None) -> dict[str, str]:
    marks = {name: _BLACK if tone is None else pair[tone] for name, pair in VERDICT_COLOURS.items()}
    return {**palette, **marks}


def _variables(palette: Mapping[str, str], tone: int | None) -> str:
    return ";".join(f"--{name}:{colour}" for name, colour in _colours(palette, tone).items())
