"""Small pictures: PNG with a palette of a few colours, which is what pages and sheets have."""

from __future__ import annotations

import struct
import zlib
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["small_png"]

Colours = NDArray[np.float64]  # red, green, blue

_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"  # PNG, third edition (W3C), 5.2
_INDEXED: Final = 3  # colour type of a palette, 11.2.1
_FEW: Final = 16  # colours that fit into half a byte
_COARSE: Final = 3  # bits of a channel by which like colours are gathered


def small_png(pixels: NDArray[np.uint8], *, colours: int) -> bytes:
    """A picture in the few colours that tell it best; every pixel takes the nearest of them.

    Parameters
    ----------
    pixels : ndarray, shape (height, width, 3)
        Red, green, blue.
    colours : int
        At most 256; sixteen or fewer need half the room.
    """
    height, width, _ = pixels.shape
    palette, index = _gathered(pixels.reshape(-1, 3).astype(np.int64), colours)
    depth = 4 if len(palette) <= _FEW else 8
    rows = index.reshape(height, width).astype(np.uint8)
    if depth < 8:  # noqa: PLR2004 - a whole byte
        rows = np.pad(rows, ((0, 0), (0, width % 2)))
        rows = rows[:, ::2] << depth | rows[:, 1::2]
    unfiltered = np.pad(rows, ((0, 0), (1, 0))).tobytes()  # filter 0 before each row, 9.2
    head = struct.pack(">IIBBBBB", width, height, depth, _INDEXED, 0, 0, 0)
    return _SIGNATURE + b"".join(
        _chunk(kind, content)
        for kind, content in (
            (b"IHDR", head),
            (b"PLTE", palette.tobytes()),
            (b"IDAT", zlib.compress(unfiltered, 9)),
            (b"IEND", b""),
        )
    )


def _gathered(
    pixels: NDArray[np.int64], colours: int
) -> tuple[NDArray[np.uint8], NDArray[np.int64]]:
    """The palette, and for each pixel its place in it."""
    bits = 8 - _COARSE
    red, green, blue = (pixels >> _COARSE).T
    keys = (red << 2 * bits) | (green << bits) | blue
    _, group, counts = np.unique(keys, return_inverse=True, return_counts=True)
    sums = np.stack([np.bincount(group, weights=pixels[:, each]) for each in range(3)], axis=1)
    means = np.rint(sums / counts[:, None])
    palette = means[_chosen(means, counts, colours)]
    distances = ((means[:, None, :] - palette[None, :, :]) ** 2).sum(axis=2)
    return palette.astype(np.uint8), distances.argmin(axis=1)[group]


def _chosen(means: Colours, counts: NDArray[np.int64], colours: int) -> list[int]:
    """The most frequent colour, then each time the one that lacks most: often there, far away."""
    chosen = [int(counts.argmax())]
    far = ((means - means[chosen[0]]) ** 2).sum(axis=1)
    while len(chosen) < min(colours, len(means)):
        chosen.append(int((far * counts).argmax()))
        far = np.minimum(far, ((means - means[chosen[-1]]) ** 2).sum(axis=1))
    return chosen


def _chunk(kind: bytes, content: bytes) -> bytes:
    return (
        struct.pack(">I", len(content))
        + kind
        + content
        + struct.pack(">I", zlib.crc32(kind + content))
    )
