"""Sheets for the tests of the printed page, with names as people have them."""

from __future__ import annotations

from levelhead.exchange import Column, Sheet, SheetHead

HEAD = SheetHead("Village hall", "2026-12-05", 3, "7f3k9m2p")
COLUMNS = (
    Column("input", "Input", 1, "right"),
    Column("source", "Source", 4),
    Column("gear", "Gear", 4),
    Column("socket", "Goes to", 3),
    Column("cable", "Cable", 3),
    Column("phantom", "Phantom", 1.6, "centre"),
    Column("gain", "Gain", 1.5, "right", "dB"),
)
NAMES = (
    "Anna",
    "Zoë Łukasiewicz",
    "Ωρίων",
    "Жанна",
    "Kick in",
    "Keys left",
    "Señor Ibáñez, guitar",
)
GEAR = ("Vocal microphone, dynamic", "Keyboard, stereo", "DI box, active", "Laptop")


def input_row(number: int) -> dict[str, str]:
    """One channel; its number stands in the first and in the last column, to find cut rows."""
    return {
        "input": str(number),
        "source": f"{NAMES[number % len(NAMES)]} {number}",
        "gear": GEAR[number % len(GEAR)],
        "socket": f"desk.ch{number}.mic",
        "cable": "XLR 10 m",
        "phantom": "48 V" if number % 3 == 0 else "",
        "gain": f"{20 + number / 10:.1f}",
    }


def input_list(count: int, **more: object) -> Sheet:
    """An input list of that many channels."""
    rows = tuple(input_row(number) for number in range(1, count + 1))
    return Sheet("input-list", "Input list", HEAD, COLUMNS, rows, **more)  # type: ignore[arg-type]
