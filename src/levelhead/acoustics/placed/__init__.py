"""A solved show in its place: loudspeakers, microphones and people, in the room that was typed."""
