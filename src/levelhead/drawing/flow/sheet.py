"""The flow drawing as SVG: for the screen, light or dark, and for paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from markupsafe import Markup

from levelhead.drawing.diagram_style import DARK, LIGHT, PRINT
from levelhead.drawing.flow.layout import Layout, Spot
from levelhead.drawing.flow.model import Box, Chart, Lead, Row, Side
from levelhead.drawing.flow.sizes import LINE, PAD, SMALL, TYPE, row_text
from levelhead.drawing.marks import mark_of
from levelhead.drawing.svg import element, path

__all__ = ["CLASS", "VERDICT_COLOURS", "flow_sheet"]

CLASS: Final = "flow"
_MARK: Final = 16.0
_WORD: Final = 0.68 * TYPE  # of a letter of a verdict: they are few, bold and wide
VERDICT_COLOURS: Final = {  # verdicts: light, dark; docs/visual-language.md
    "care": ("#6b4200", "#f5c062"),
    "fails": ("#8f2700", "#ffa27d"),
    "harm": ("#86002f", "#ff9db8"),
}
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
SCOPE .cut{stroke:var(--ground)}
"""


def flow_sheet(chart: Chart, layout: Layout, *, title: str) -> str:
    """The whole drawing. Boxes and leads carry ``data-item`` and ``data-links`` for the page."""
    return str(
        element(
            "svg",
            element("title", title),
            element("style", Markup(_style())),  # noqa: S704 - our own rules
            *(drawn for bundle in _bundles(chart, layout) for drawn in _leads(bundle, layout)),
            *(_box(box, layout.spots[box.id]) for box in chart.boxes.values()),
            *(_count(lead, layout) for lead in chart.leads if lead.count > 1),
            xmlns="http://www.w3.org/2000/svg",
            class_=CLASS,
            viewBox=f"0 0 {layout.width:.0f} {layout.height:.0f}",
            width=f"{layout.width:.0f}",
            height=f"{layout.height:.0f}",
            role="img",
            aria_label=title,
        )
    )


def _style() -> str:
    scope = f".{CLASS}"
    faces = 'font-family:system-ui,"IBM Plex Sans",sans-serif'
    return (
        f"{scope}{{{faces};{_variables(LIGHT, 0)}}}\n{_RULES.replace('SCOPE', scope)}"
        + "".join(f"{scope} .{name}{{color:var(--{name});}}\n" for name in VERDICT_COLOURS)
        + f"@media (prefers-color-scheme:dark){{{scope}{{{_variables(DARK, 1)}}}}}\n"
        f"@media print{{{scope}{{{_variables(PRINT, None)}}}}}\n"
    )


def _variables(palette: Mapping[str, str], tone: int | None) -> str:
    marks = {
        name: "#000000" if tone is None else pair[tone] for name, pair in VERDICT_COLOURS.items()
    }
    return ";".join(f"--{name}:{colour}" for name, colour in {**palette, **marks}.items())


# ---------------------------------------------------------------- leads


def _bundles(chart: Chart, layout: Layout) -> list[list[Lead]]:
    """Leads that leave one socket lie on one another; those that return are drawn on top."""
    found: dict[tuple[bool, tuple[str, int]], list[Lead]] = {}
    for lead in chart.leads:
        found.setdefault((lead.id in layout.returns, lead.start), []).append(lead)
    return [found[key] for key in sorted(found, key=lambda key: key[0])]


def _leads(bundle: Sequence[Lead], layout: Layout) -> Iterator[Markup]:
    """A gap in what they cross, then the leads themselves."""
    for lead in bundle:
        yield path(layout.ways[lead.id], class_="halo")
    for lead in bundle:
        classes = ["lead", lead.kind]
        classes += ["trunk"] if lead.count > 1 else []
        classes += ["return"] if lead.id in layout.returns else []
        yield element(
            "g",
            element("title", lead.hint),
            path(layout.ways[lead.id], class_=" ".join(classes)),
            data_links=" ".join(map(str, lead.links)),
        )


def _count(lead: Lead, layout: Layout) -> Markup:
    """How many cables lie in a trunk, above the line where it leaves."""
    x, y = layout.ways[lead.id][0]
    return element("text", f"\N{MULTIPLICATION SIGN}{lead.count}", x=x + 5, y=y - 5, class_="quiet")


# ---------------------------------------------------------------- boxes


def _box(box: Box, spot: Spot) -> Markup:
    size = spot.size
    frame = element(
        "rect", x=spot.x, y=spot.y, width=size.width, height=size.height, rx=0, class_="box"
    )
    return element(
        "g",
        element("title", box.hint),
        frame,
        *_head(box, spot),
        *(drawn for side in _SIDES for drawn in _rows(box, spot, side)),
        data_item=box.id,
    )


_SIDES: Final[tuple[Side, ...]] = ("left", "right")


def _head(box: Box, spot: Spot) -> Iterator[Markup]:
    size = spot.size
    y = spot.y + PAD + TYPE - 3
    for line in size.title:
        yield element("text", line, x=spot.x + PAD, y=y, class_="title")
        y += LINE
    for line in size.notes:
        yield element("text", line, x=spot.x + PAD, y=y, class_="quiet")
        y += LINE
    if box.mark is not None:
        word = mark_of(box.mark).word
        x = spot.x + size.width - PAD - len(word) * _WORD
        text = element("text", word, x=x, y=spot.y + PAD + TYPE - 3, class_="title")
        yield element("g", text, class_=box.mark)
        yield _shape(box.mark, x - _MARK - 5, spot.y + PAD)
    if not size.plain and (box.left or box.right):
        at = spot.y + size.head
        yield path(((spot.x, at), (spot.x + size.width, at)), class_="head")


def _shape(mark: str, x: float, y: float) -> Markup:
    scale = _MARK / 24
    return element(
        "g",
        *mark_of(mark).shape,
        class_=mark,
        transform=f"translate({x:.1f} {y:.1f}) scale({scale:.3f})",
    )


def _rows(box: Box, spot: Spot, side: Side) -> Iterator[Markup]:
    for number, row in enumerate(box.rows(side)):
        yield from _row(row, spot, side, spot.y + spot.size.pin(number))


def _row(row: Row, spot: Spot, side: Side, y: float) -> Iterator[Markup]:
    is_left = side == "left"
    edge = spot.x if is_left else spot.x + spot.size.width
    inward = 1 if is_left else -1
    yield element("circle", cx=edge, cy=y, r=3.5, class_="free" if row.is_free else "plug")
    if spot.size.plain:
        return
    text_at = edge + inward * PAD
    if row.mark is not None:
        yield _shape(row.mark, text_at if is_left else text_at - _MARK, y - _MARK / 2)
        text_at += inward * (_MARK + 4)
    yield element(
        "text",
        row_text(row),
        x=text_at,
        y=y + SMALL / 3,
        text_anchor="start" if is_left else "end",
        class_="quiet" if row.is_free else "row",
        data_socket=row.address,
    )
