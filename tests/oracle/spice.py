"""Networks through ngspice, an independent circuit simulator: what it says their voltages are.

All networks of one call go into one netlist and one process, side by side. The netlist is the plain
circuit, nothing of our own nodal analysis: coupled inductors instead of admittance matrices, a
chain of controlled sources for each sense, each noise current taken from a resistor of its own.
"""

from __future__ import annotations

import math
import re
import subprocess
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.network import Kind, Network

TEMPERATURE_K = 293.15  # ngspice would take 27 degrees C
LEAK_OHM = 1e12  # from every node to ground
# ngspice's noise currents come from 1 ohm at 20 degrees C, through a transconductance
UNIT_NOISE_V_PER_RTHZ = math.sqrt(4 * 1.380649e-23 * TEMPERATURE_K)
SWEEP = f"dec 10 {1000 * 10**-1.7!r} {1000 * 10**1.3!r}"  # 31 third octaves, base ten
BANDS_HZ = 1000 * 10 ** (np.arange(-17, 14) / 10)

_Vectors = Mapping[tuple[str, str], NDArray[np.complex128]]  # by run and name


@dataclass(frozen=True, slots=True, eq=False)
class Spiced:
    """What ngspice says, in the shapes of ``levelhead.circuit.solving.solve.Solved``."""

    node_transfer: NDArray[np.complex128]  # (nodes, sources, bands)
    transfer: NDArray[np.complex128]  # (senses, sources, bands)
    source_current: NDArray[np.complex128]  # (sources i, sources j, bands)
    noise_v2_per_hz: NDArray[np.float64]  # (senses, bands)


def simulate(networks: Sequence[Network]) -> list[Spiced]:
    """Run ``ngspice -b`` once on all networks, over the 31 bands.

    Raises
    ------
    RuntimeError
        ngspice is not there, or did not answer. An absent oracle is no reason to pass.
    """
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder, "networks.cir")
        deck.write_text("\n".join(_deck(networks)) + "\n", encoding="ascii")
        _run(deck)
        vectors = _read_folder(Path(folder))
    return [_read(vectors, index, network) for index, network in enumerate(networks)]


def sweep(netlist: Sequence[str]) -> dict[str, NDArray[np.complex128]]:
    """AC sweep over the 31 bands of a netlist that is written by hand; vectors by name."""
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder, "sweep.cir")
        commands = (".control", f"ac {SWEEP}", "write sweep.raw all", "quit", ".endc", ".end")
        deck.write_text("\n".join(["* sweep", *netlist, *commands]) + "\n", encoding="ascii")
        _run(deck)
        return _read_raw(Path(folder, "sweep.raw"))


def operating_point(netlist: Sequence[str], nodes: Sequence[str]) -> dict[str, float]:
    """Direct voltages of a netlist that is written by hand, by node."""
    options = ".options gmin=1e-14 reltol=1e-8 abstol=1e-15 vntol=1e-10"
    printed = " ".join(f"v({node})" for node in nodes)
    lines = ["* operating point", *netlist, options]
    lines += [".control", "op", "set numdgt=12", f"print {printed}", "quit", ".endc", ".end"]
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder, "point.cir")
        deck.write_text("\n".join(lines) + "\n", encoding="ascii")
        out = _run(deck)
    found = re.findall(r"^v\((\S+)\) = (\S+)", out, re.MULTILINE)
    return {node: float(value) for node, value in found}


def _run(deck: Path) -> str:
    """One batch run, without the user's own settings; what it printed."""
    command = ["ngspice", "-n", "-b", deck.name]
    try:
        run = subprocess.run(
            command, cwd=deck.parent, capture_output=True, text=True, timeout=300, check=False
        )
    except FileNotFoundError as missing:
        raise RuntimeError("ngspice is not installed: apt-get install ngspice") from missing
    if run.returncode or "rror" in run.stderr:
        raise RuntimeError(f"ngspice failed:\n{run.stdout[-2000:]}\n{run.stderr[-2000:]}")
    return run.stdout


def _deck(networks: Sequence[Network]) -> Iterator[str]:
    """The whole netlist with its commands."""
    yield "* networks side by side"
    yield f".temp {TEMPERATURE_K - 273.15:.10g}"
    yield from ("vin in 0 dc 0 ac 1", "rin in 0 1")  # a noise run wants an input to refer to
    for index, network in enumerate(networks):
        yield from _elements(index, network)
        yield from _transformers(index, network)
        yield from _sources(index, network)
        yield from _senses(index, network)
    yield ".control"
    yield from _commands(networks)
    yield from ("quit", ".endc", ".end")


def _elements(net: int, network: Network) -> Iterator[str]:
    """Leaks and two-ended elements."""
    for node in range(1, network.node_count):
        yield f"rleak{net}_{node} {_node(net, node)} 0 {LEAK_OHM:g} noisy=0"
    parts = zip(network.element_kind, network.element_nodes, network.element_value, strict=True)
    letters = {Kind.RESISTOR: "r", Kind.CAPACITOR: "c", Kind.INDUCTOR: "l"}
    for number, (kind, (a, b), value) in enumerate(parts):
        ends = f"{_node(net, a)} {_node(net, b)}"
        yield f"{letters[Kind(kind)]}{net}_{number} {ends} {float(value)!r}"


def _transformers(net: int, network: Network) -> Iterator[str]:
    """Coupled inductors, each with the resistance of its wire in series."""
    rows = zip(network.transformer_nodes, network.transformer_value, strict=True)
    for number, ((p_plus, p_minus, s_plus, s_minus), figures) in enumerate(rows):
        ratio, magnetising_h, leakage_h, primary_ohm, secondary_ohm = map(float, figures)
        name = f"{net}_{number}"
        yield f"rp{name} {_node(net, p_plus)} wp{name} {primary_ohm!r}"
        yield f"lp{name} wp{name} {_node(net, p_minus)} {magnetising_h + leakage_h!r}"
        yield f"rs{name} {_node(net, s_plus)} ws{name} {secondary_ohm!r}"
        yield f"ls{name} ws{name} {_node(net, s_minus)} {magnetising_h / ratio**2!r}"
        coupling = math.sqrt(magnetising_h / (magnetising_h + leakage_h))
        yield f"k{name} lp{name} ls{name} {coupling!r}"


def _sources(net: int, network: Network) -> Iterator[str]:
    """Voltage sources behind their resistances, and noise currents."""
    rows = zip(network.source_nodes, network.source_ohm, strict=True)
    for number, ((plus, minus), ohm) in enumerate(rows):
        name = f"{net}_{number}"
        yield f"v{name} e{name} {_node(net, minus)} dc 0 ac 0"
        yield f"re{name} e{name} {_node(net, plus)} {float(ohm)!r}"
    noises = zip(network.noise_nodes, network.noise_a_per_rthz, strict=True)
    for number, ((a, b), a_per_rthz) in enumerate(noises):
        name = f"{net}_{number}"
        siemens = float(a_per_rthz) / UNIT_NOISE_V_PER_RTHZ
        yield f"rn{name} z{name} 0 1"
        yield f"gn{name} {_node(net, a)} {_node(net, b)} z{name} 0 {siemens!r}"


def _senses(net: int, network: Network) -> Iterator[str]:
    """A chain of voltage-controlled voltage sources adds up the weighted node voltages."""
    for number, weights in enumerate(network.sense):
        below = "0"
        for node in np.flatnonzero(weights).tolist():
            above = f"s{net}_{number}_{node}"
            yield f"e{above} {above} {below} {_node(net, node)} 0 {float(weights[node])!r}"
            below = above
        yield f"eout{net}_{number} out{net}_{number} 0 {below} 0 1"


def _commands(networks: Sequence[Network]) -> Iterator[str]:
    """One AC run for the first, second, ... source of every network; one noise run per sense."""
    for source in range(max(len(network.source_ohm) for network in networks)):
        for net, network in enumerate(networks):
            for other in range(len(network.source_ohm)):
                yield f"alter @v{net}_{other}[acmag] = {int(other == source)}"
        yield f"ac {SWEEP}"
        yield f"write ac{source}.raw all"
    for net, network in enumerate(networks):
        for sense in range(len(network.sense)):
            yield f"noise v(out{net}_{sense}) vin {SWEEP}"
            yield "setplot previous"  # a run leaves its spectrum, then its total
            yield f"write noise{net}_{sense}.raw onoise_spectrum"


def _node(net: int, node: int) -> str:
    """Name of a node; all networks share the reference."""
    return f"n{net}_{node}" if node else "0"


def _read(vectors: _Vectors, net: int, network: Network) -> Spiced:
    """One network's share of the vectors."""
    sources, senses = range(len(network.source_ohm)), range(len(network.sense))
    nodes, bands = range(network.node_count), len(BANDS_HZ)
    v, still = vectors, np.zeros(bands, dtype=np.complex128)
    node_transfer = [
        [v[f"ac{j}", f"v({_node(net, node)})"] if node else still for j in sources]
        for node in nodes
    ]
    transfer = [[v[f"ac{j}", f"v(out{net}_{sense})"] for j in sources] for sense in senses]
    # ngspice counts the current into the plus end
    current = [[-v[f"ac{j}", f"i(v{net}_{i})"] for j in sources] for i in sources]
    noise_v = [v[f"noise{net}_{sense}", "onoise_spectrum"].real for sense in senses]
    return Spiced(
        node_transfer=np.reshape(node_transfer, (len(nodes), len(sources), bands)),
        transfer=np.reshape(transfer, (len(senses), len(sources), bands)),
        source_current=np.reshape(current, (len(sources), len(sources), bands)),
        noise_v2_per_hz=np.reshape(noise_v, (len(senses), bands)) ** 2,
    )


def _read_folder(folder: Path) -> _Vectors:
    """Vectors of all binary raw files by file and name."""
    files = {path.stem: _read_raw(path) for path in folder.glob("*.raw")}
    return {(stem, name): row for stem, rows in files.items() for name, row in rows.items()}


def _read_raw(path: Path) -> dict[str, NDArray[np.complex128]]:
    """Vectors of one binary raw file by name; the frequencies must be the 31 bands."""
    head, _, body = path.read_bytes().partition(b"Binary:\n")
    fields, _, variables = head.decode("ascii").partition("Variables:\n")
    names = [line.split()[1] for line in variables.splitlines()]
    dtype = np.complex128 if "Flags: complex" in fields else np.float64
    table = np.frombuffer(body, dtype=dtype).reshape(-1, len(names)).T.astype(np.complex128)
    if table.shape[1] != len(BANDS_HZ) or not np.allclose(table[0].real, BANDS_HZ, rtol=1e-9):
        raise RuntimeError(f"{path.name} does not hold the 31 bands")
    return dict(zip(names, table, strict=True))
