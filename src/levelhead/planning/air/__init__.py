"""What helps in the air, between loudspeakers, microphones and seats.

Reading order: ``cures`` (by finding), ``times`` (what comes twice), ``ring_moves`` (what buys most
before feedback: tried and ranked) with ``low_cuts``, ``open_microphones`` and
``other_microphones``; ``speaker_turns`` is the last free control of each loudspeaker.
Loaded when somebody asks about the air: it reckons rooms.
"""
