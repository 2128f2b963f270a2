"""An entry of the gear book with its switches as they stand, every figure in SI.

A plan is what the rig places. Blocks that stand alike (same switches, same figures) share one
``BlockPlan``, so a desk of 128 equal channels is planned once.
"""

from levelhead.gear.plan.controls import (
    ControlPlan,
)
from levelhead.gear.plan.items import (
    BatteryPlan,
    BlockInstance,
    BlockPlan,
    ClockPlan,
    ItemPlan,
    PowerPlan,
)
from levelhead.gear.plan.parts import (
    CablePlan,
    PartPlan,
)
from levelhead.gear.plan.paths import (
    AirPlan,
    GeneratorPlan,
    InsertPlan,
    MeterPlan,
    MixPlan,
    MonoPlan,
    OriginPlan,
    PathPlan,
    PointUnit,
    StagePlan,
)
from levelhead.gear.plan.ports import (
    DIGITAL,
    OWN_NUMBER,
    PACKETS,
    ContactPlan,
    PinPlace,
    PortPlan,
    Target,
)

__all__ = [
    "DIGITAL",
    "OWN_NUMBER",
    "PACKETS",
    "AirPlan",
    "BatteryPlan",
    "BlockInstance",
    "BlockPlan",
    "CablePlan",
    "ClockPlan",
    "ContactPlan",
    "ControlPlan",
    "GeneratorPlan",
    "InsertPlan",
    "ItemPlan",
    "MeterPlan",
    "MixPlan",
    "MonoPlan",
    "OriginPlan",
    "PartPlan",
    "PathPlan",
    "PinPlace",
    "PointUnit",
    "PortPlan",
    "PowerPlan",
    "StagePlan",
    "Target",
]
