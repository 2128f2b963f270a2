"""Write the workbooks of this folder: odd layouts on purpose, all of them made up."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

HERE: Final = Path(__file__).parent


def filled(sheet: Worksheet, rows: list[list[Any]], *, merged: tuple[str, ...] = ()) -> None:
    """Rows from the top, then merged cells."""
    for row in rows:
        sheet.append(row)
    for ref in merged:
        sheet.merge_cells(ref)


def choir() -> Workbook:
    """Merged cells over two rows and a second sheet with outputs."""
    book = Workbook()
    book.active.title = "Inputs"
    rows = [
        ["St Brannoc's Choral Society - Winter Concert", None, None, None, None],
        [],
        ["Desk ch", "Input", "Microphone", "48V", "Position"],
        [1, "Choir", "small diaphragm", "yes", "left of conductor"],
        [2, None, "small diaphragm", "yes", "right of conductor"],
        [3, "Soprano solo", "large diaphragm", "yes", "front"],
        [4, "Violins", "condenser", "yes", None],
        [5, "Cello", "condenser", "yes", None],
        [6, "Organ", "large diaphragm", "yes", "gallery"],
        [7, "Vicar", "lapel, wireless", "no", None],
        [8, "Readings", "gooseneck", "yes", "lectern"],
    ]
    filled(book.active, rows, merged=("A1:E1", "B4:B5"))
    outputs = book.create_sheet("Outputs")
    filled(outputs, [["Out", "To"], [1, "Main L"], [2, "Main R"], [3, "Vocal monitor"]])
    return book


def musical() -> Workbook:
    """Headings between the rows, roles with names nobody knows, radio channels."""
    book = Workbook()
    rows = [
        ["The Lantern Thief", None, "Radio mics and pit", None],
        ["Ch", "Name", "Mic", "RF channel"],
        ["CAST"],
        [1, "Orla", "headset wireless", "A1"],
        [2, "The Thief", "headset wireless", "A2"],
        [3, "Captain Brill", "headset wireless", "A3"],
        [4, "Ensemble 1", "lav wireless", "A4"],
        [5, "Spare radio", "handheld wireless", "B1"],
        ["PIT"],
        ["6/7", "Keys 1", "DI", None],
        ["8/9", "Keys 2", "DI", None],
        [10, "Reed 1", "condenser", None],
        [11, "Trumpet", "dynamic", None],
        [12, "Drums kick", None, None],
        [13, "Drums OH", "condenser", None],
        [14, "Upright bass", "DI", None],
        ["OTHER"],
        ["15+16", "SFX playback", "line", None],
        [17, "Stage manager talkback", "gooseneck", None],
    ]
    filled(book.active, rows, merged=("A3:D3", "A9:D9"))
    return book


def brass_band() -> Workbook:
    """Two lists side by side."""
    book = Workbook()
    rows = [
        ["Holm Valley Silver Band"],
        ["Ch", "Source", "Mic", None, "Ch", "Source", "Mic"],
        [1, "Solo cornets", "condenser", None, 9, "Bass drum", None],
        [2, "2nd cornets", "condenser", None, 10, "Snare drum", "dynamic"],
        [3, "Flugelhorn", "dynamic", None, 11, "Timpani", "condenser"],
        [4, "Tenor horns", "condenser", None, 12, "Glockenspiel", "condenser"],
        [5, "Euphonium", "dynamic", None, 13, "Compere", "radio handheld"],
        [6, "Trombones", "dynamic", None, 14, "Soloist", "clip-on"],
        [7, "Basses", "dynamic", None, 15, "spare", None],
        [8, "Tuba", "dynamic", None, 16, "spare", None],
    ]
    filled(book.active, rows)
    return book


def festival() -> Workbook:
    """Three acts on three sheets, all from channel 1."""
    book = Workbook()
    book.active.title = "16-00 Dust Moths"
    acts = {
        "16-00 Dust Moths": [
            ["Kick", None],
            ["Snare", "dyn"],
            ["Bass", "DI"],
            ["Vox", "vocal mic"],
        ],
        "17-30 Ferry Lights": [["Acoustic Gtr", "DI"], ["Vox Mel", "vocal mic"]],
        "19-00 Old Bridge": [["Accordion", "clip"], ["Banjo", "DI"], ["Vox", "condenser"]],
    }
    for number, (title, inputs) in enumerate(acts.items()):
        sheet = book.active if number == 0 else book.create_sheet(title)
        rows = [[at, *row] for at, row in enumerate(inputs, start=1)]
        filled(sheet, [[title], ["Ch", "Instrument", "Mic"], *rows])
    return book


def corporate() -> Workbook:
    """DI and microphone as columns of crosses, a count column, a total by formula."""
    book = Workbook()
    rows = [
        ["Annual meeting, hall B"],
        ["Item", "Qty", "Mic", "DI", "Remarks"],
        ["Lectern gooseneck", 2, "x", None, None],
        ["Wireless lavalier, speakers", 3, "x", None, "black windshields"],
        ["Audience handheld radio", 2, "x", None, None],
        ["Presentation laptop", 1, None, "x", "sound from slides"],
        ["Walk in music", 1, None, "x", None],
        ["Total", "=SUM(B3:B7)", None, None, None],
    ]
    filled(book.active, rows)
    return book


def theatre() -> Workbook:
    """French, headings far down, a group column, floats for channels."""
    book = Workbook()
    rows = [
        [None, None, None, None, None],
        [None, "Le Dernier Phare", None, None, None],
        [None, "théâtre municipal, patch son", None, None, None],
        [None, None, None, None, None],
        [None, "Groupe", "Voie", "Désignation", "Micro ou DI"],
        [None, "Comédiens", 1.0, "Comédienne Louise", "serre-tête HF"],
        [None, None, 2.0, "Comédien Marc", "serre-tête HF"],
        [None, None, 3.0, "Narrateur", "statique"],
        [None, "Musique", 4.0, "Piano droit", "statique"],
        [None, None, 5.0, "Violoncelle", "pince"],
        [None, None, 6.0, "Accordéon", "dynamique"],
        [None, "Régie", 7.0, "Bande son G", "DI"],
        [None, None, 8.0, "Bande son D", "DI"],
        [None, None, 9.0, "Ambiance salle", "statique"],
        [None, None, 10.0, "Retour effet", None],
    ]
    filled(book.active, rows, merged=("B6:B8", "B9:B11", "B12:B15"))
    return book


def festival_advance() -> Workbook:
    """An advance sheet: stage boxes, FOH and monitor numbers, monitor mixes and backline below."""
    book = Workbook()
    book.active.title = "Advance"
    rows: list[list[Any]] = [
        ["MEADOW STAGE - ADVANCE SHEET", None, None, None, None, None, None, None],
        ["Band:", "Copper Kettle", None, "Line check:", "16:40", None, None, None],
        ["FOH", "MON", "Box", "Source", "Mic / DI", "48V", "Stand", "Remarks"],
        [1, 1, "A1", "Kick in", "boundary", "yes", "-", None],
        [2, 2, "A2", "Kick out", "dyn", "-", "short", None],
        [3, 3, "A3", "Snare top", "dyn", "-", "short", "2x clip if you have"],
        [4, 4, "A4", "OH", "condenser", "yes", "tall boom", "mono only!"],
        [5, 5, "A5", "Bass", "DI post pedals", None, None, "active bass"],
        [6, 6, "B1", "Gtr SL", "dyn", "-", "short", "amp"],
        [7, 7, "B2", "Zorg L", "DI", None, None, None],
        [8, 8, "B3", "Zorg R", "DI", None, None, None],
        [9, 9, "B4", "Lead vocal", "own mic, condenser", "yes", "straight", None],
        [10, 10, "B5", "Trumpet", "ribbon", "NO!!", "tall", "own"],
        [None, None, None, None, None, None, None, None],
        ["Mix 1", None, None, "Lead vocal wedge", None, None, None, "2x"],
        ["Mix 2", None, None, "Drums", None, None, None, "in ears"],
        ["IEM 3", None, None, "Keys", None, None, None, "stereo in ears"],
        [None, None, None, None, None, None, None, None],
        ["Backline", None, None, None, None, None, None, None],
        ["Drum kit", "1", None, "5 piece", None, None, None, None],
        ["Bass amp", "1", None, "300 W", None, None, None, None],
    ]
    filled(book.active, rows, merged=("A1:H1",))
    return book


def merged_heads() -> Workbook:
    """Headings in two rows, the upper ones merged over several columns; two columns of numbers."""
    book = Workbook()
    rows: list[list[Any]] = [
        ["Input", None, "Source", None, "Pick-up", None, "Stage"],
        ["Ch", "Line", "Instrument", "Player", "Mic / DI", "48V", "Stand"],
        [1, 11, "Tin whistle", "Aoife", "condenser", "x", "tall"],
        [2, 12, "Fiddle", "Brid", "clip", "x", None],
        [3, 13, "Concertina", "Con", "condenser", "x", "short"],
        [4, 14, "Guitar", "Donal", "DI", None, None],
        [5, 15, "Bodhran", "Eoin", "large dynamic", None, "short"],
        [6, 16, "Vocals", "Aoife", "dyn", None, "boom"],
        [7, 17, None, "Donal", "dyn", None, "boom"],
    ]
    filled(book.active, rows, merged=("A1:B1", "C1:D1", "E1:F1", "C8:C9"))
    return book


def text_numbers() -> Workbook:
    """Numbers that are text, with spaces, leading noughts, points and apostrophes."""
    book = Workbook()
    rows: list[list[Any]] = [
        ["No.", "Input", "Type", "Gain", "Cable"],
        ["01", "Kick", "dynamic", "30,0", "10"],
        [" 2 ", "Snare", "dynamic", "28.5", "10"],
        ["3.0", "Bass", "DI (active)", 12.0, 5.0],
        ["'4", "Ac guitar", "DI, passive", "+18", "5m"],
        ["5\u00a0", "Lead vox", "wireless handheld", "n/a", None],
        ["06", "Backing vox", "dynamic", "35 dB", "15,0"],
        ["7.0", "Laptop L", "line", "0", 3],
        ["8.0", "Laptop R", "line", "0", 3],
        ["#9", "spare", None, None, None],
        ["Total", "9", None, None, None],
    ]
    filled(book.active, rows)
    return book


WORKBOOKS: Final = {
    "choir": choir,
    "musical": musical,
    "brass-band": brass_band,
    "festival-changeover": festival,
    "corporate": corporate,
    "theatre-fr": theatre,
    "festival-advance": festival_advance,
    "merged-heads": merged_heads,
    "text-numbers": text_numbers,
}


def main() -> None:
    """Write all of them beside this file."""
    for name, make in WORKBOOKS.items():
        make().save(HERE / f"{name}.xlsx")


if __name__ == "__main__":
    main()
