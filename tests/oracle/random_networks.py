"""Random passive networks of the kinds that wiring makes, from a given generator."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from levelhead.circuit.network import GROUND, Network, NetworkBuilder, Transformer


@dataclass(frozen=True, slots=True)
class Ranges:
    """From where to where values go; every decade is as likely as any other."""

    resistor_ohm: tuple[float, float]
    capacitor_f: tuple[float, float]
    inductor_h: tuple[float, float]
    magnetising_h: tuple[float, float]
    leakage_share: tuple[float, float]
    tie_f: tuple[float, float] | None  # a capacitor may tie a part to the reference
    damping_ohm: tuple[float, float] | None  # beside each inductor


# Everything that wiring can be, nearly lossless resonances and picofarads to 0 V among it
WILD = Ranges(
    resistor_ohm=(10, 1e7),
    capacitor_f=(1e-11, 1e-5),
    inductor_h=(1e-3, 10),
    magnetising_h=(0.1, 100),
    leakage_share=(1e-5, 1e-1),
    tie_f=(1e-10, 1e-8),
    damping_ohm=None,
)
# Smooth enough to be differentiated by small steps, and deaf to a leak of 1 Tohm more or less
TAME = Ranges(
    resistor_ohm=(100, 1e5),
    capacitor_f=(1e-9, 1e-6),
    inductor_h=(1e-2, 10),
    magnetising_h=(1, 100),
    leakage_share=(1e-4, 1e-2),
    tie_f=None,
    damping_ohm=(1e3, 1e4),
)


def random_networks(rng: np.random.Generator, count: int, ranges: Ranges = WILD) -> list[Network]:
    """Networks of 2 to 12 nodes; the same generator state gives the same networks."""
    return [random_network(rng, ranges) for _ in range(count)]


def random_network(rng: np.random.Generator, ranges: Ranges = WILD) -> Network:
    """A network of all kinds of parts.

    It has one part that holds the reference, and sometimes others that only transformers reach.
    Wild ones may float, so that only differences inside them are sensed: their common voltage is
    rounding. The others are tied to the reference, by a resistor or a winding capacitance.
    """
    plan = _Plan.of(int(rng.integers(2, 13)), ranges, rng)
    for part in plan.parts:
        plan.connect(part, rng)
    for reached, part in enumerate(plan.parts[1:], start=1):
        plan.couple(plan.parts[int(rng.integers(reached))], part, rng)
    if rng.random() < _SOMETIMES:
        plan.couple(plan.any_part(rng), plan.any_part(rng), rng)
    for part in plan.parts[1:]:
        plan.tie(part, rng)
    for _ in range(rng.integers(1, 4)):
        plan.builder.source(*plan.two_nodes(rng), _log_uniform(rng, (1, 1e5)))
    for _ in range(rng.integers(1, 4)):
        plan.sense(rng)
    for _ in range(rng.integers(0, 3)):
        plan.builder.noise_current(*plan.two_nodes(rng), _log_uniform(rng, (1e-14, 1e-9)))
    return plan.builder.build()


def random_resistors(rng: np.random.Generator) -> Network:
    """A network of resistors only, with one source and every node sensed."""
    builder = NetworkBuilder()
    nodes = [GROUND] + [builder.node() for _ in range(rng.integers(1, 12))]
    for number, node in enumerate(nodes[1:], start=1):
        builder.resistor(node, nodes[int(rng.integers(number))], _log_uniform(rng, (1, 1e6)))
    for _ in range(rng.integers(0, 2 * len(nodes))):
        a, b = rng.integers(len(nodes), size=2)
        builder.resistor(int(a), int(b), _log_uniform(rng, (1, 1e6)))
    builder.source(int(rng.integers(1, len(nodes))), GROUND, _log_uniform(rng, (1, 1e5)))
    for node in nodes[1:]:
        builder.sense({node: 1})
    return builder.build()


_SOMETIMES = 0.3


def _log_uniform(rng: np.random.Generator, limits: tuple[float, float]) -> float:
    """A value between two others, every decade as likely as any other."""
    return float(np.exp(rng.uniform(*np.log(limits))))


@dataclass(slots=True)
class _Plan:
    """A network under way: which nodes hang together, and which of them see the reference."""

    ranges: Ranges
    builder: NetworkBuilder
    parts: list[list[int]]  # the first holds the reference
    seen: set[int] = field(default_factory=lambda: {0})  # parts with a path to the reference

    @classmethod
    def of(cls, node_count: int, ranges: Ranges, rng: np.random.Generator) -> _Plan:
        """Deal nodes to one to three parts of two nodes or more."""
        builder = NetworkBuilder()
        nodes = [GROUND] + [builder.node() for _ in range(node_count - 1)]
        cuts = 2 * rng.choice(range(1, 6), size=int(rng.integers(3)), replace=False)
        parts = [
            part.tolist()
            for part in np.split(np.array(nodes), np.sort(cuts[cuts < node_count - 1]))
        ]
        return cls(ranges, builder, parts)

    def any_part(self, rng: np.random.Generator) -> list[int]:
        """One of the parts."""
        return self.parts[int(rng.integers(len(self.parts)))]

    def two_nodes(self, rng: np.random.Generator) -> tuple[int, int]:
        """Two different nodes of one part."""
        a, b = rng.choice(self.any_part(rng), size=2, replace=False)
        return int(a), int(b)

    def connect(self, part: list[int], rng: np.random.Generator) -> None:
        """Join the nodes of a part by a tree of elements, and add some across.

        Inductors are only in the tree: a loop of nothing else carries any direct current, and
        ngspice wants to know which.
        """
        for number in range(1, len(part)):
            other = part[int(rng.integers(number))]
            kind = rng.choice(["resistor", "resistor", "resistor", "capacitor", "inductor"])
            self._element(str(kind), part[number], other, rng)
        for _ in range(rng.integers(0, 2 * len(part))):
            a, b = rng.choice(part, size=2, replace=False)
            self._element(str(rng.choice(["resistor", "capacitor"])), int(a), int(b), rng)

    def _element(self, kind: str, a: int, b: int, rng: np.random.Generator) -> None:
        """One element of a likely size."""
        ranges, builder = self.ranges, self.builder
        if kind == "resistor":
            builder.resistor(a, b, _log_uniform(rng, ranges.resistor_ohm))
        elif kind == "capacitor":
            builder.capacitor(a, b, _log_uniform(rng, ranges.capacitor_f))
        else:
            builder.inductor(a, b, _log_uniform(rng, ranges.inductor_h))
            if ranges.damping_ohm:
                builder.resistor(a, b, _log_uniform(rng, ranges.damping_ohm))

    def couple(self, primary: list[int], secondary: list[int], rng: np.random.Generator) -> None:
        """A transformer from one part to another, or inside one."""
        magnetising_h = _log_uniform(rng, self.ranges.magnetising_h)
        figures = Transformer(
            turns_ratio=_log_uniform(rng, (1 / 20, 20)),
            magnetising_h=magnetising_h,
            leakage_h=magnetising_h * _log_uniform(rng, self.ranges.leakage_share),
            primary_ohm=_log_uniform(rng, (10, 1e3)),
            secondary_ohm=_log_uniform(rng, (10, 1e3)),
        )
        ends = [rng.choice(part, size=2, replace=False).tolist() for part in (primary, secondary)]
        self.builder.transformer(tuple(ends[0]), tuple(ends[1]), figures)

    def tie(self, part: list[int], rng: np.random.Generator) -> None:
        """A path to the reference; a wild part may have none."""
        if self.ranges.tie_f and rng.random() < _SOMETIMES:
            return
        self.seen.add(self.parts.index(part))
        node = int(rng.choice(part))
        if self.ranges.tie_f and rng.random() < 0.5:
            self.builder.capacitor(node, GROUND, _log_uniform(rng, self.ranges.tie_f))
        else:
            self.builder.resistor(node, GROUND, _log_uniform(rng, (10, 1e5)))

    def sense(self, rng: np.random.Generator) -> None:
        """A difference, a node against the reference, or some weights."""
        number = int(rng.integers(len(self.parts)))
        a, b = map(int, rng.choice(self.parts[number], size=2, replace=False))
        a, b = (a, b) if a else (b, a)  # the reference alone has nothing to say
        if number not in self.seen or rng.random() < 0.5:
            self.builder.sense({a: 1, b: -1})
        else:
            self.builder.sense({a: float(rng.uniform(-2, 2)), b: float(rng.choice([0.0, 0.3]))})
