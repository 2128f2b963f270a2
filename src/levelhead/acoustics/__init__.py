"""From the loudspeaker through the air to the ears, and back into the microphone."""
