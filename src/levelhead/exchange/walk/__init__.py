"""The walk along a channel that is silent, thin, humming or distorted: from its source to the end.

Stops stand in signal order, each with what its meter should read by the solved rig. A reading (or a
plain yes or no) tells on which side the fault lies; between two stops the causes stand in order.
"""

from levelhead.exchange.walk.make import walk, walked
from levelhead.exchange.walk.model import SYMPTOMS, Candidate, Expected, Stop, Symptom, Walk
from levelhead.exchange.walk.narrow import Narrowed, answers_of, narrowed
from levelhead.exchange.walk.route import channel_meant

__all__ = [
    "SYMPTOMS",
    "Candidate",
    "Expected",
    "Narrowed",
    "Stop",
    "Symptom",
    "Walk",
    "answers_of",
    "channel_meant",
    "narrowed",
    "walk",
    "walked",
]
