"""From the loudspeaker through the air to the ears, and back into the microphone.

In the order in which they import each other:

- ``sound``: air, loudspeakers and microphones by where they look, ways, sums, delays.
- ``listening``: rooms, seats, speech, and what an evening does to ears. ``loop``: when it rings.
- ``placed``: the loudspeakers, microphones and people of a show, in the room that was typed.
- ``twice``: one signal from two loudspeakers. ``heard``: all that listeners get. ``rings``: how far
  a show is from ringing.
- ``remarks``: what stands against an answer.
"""
