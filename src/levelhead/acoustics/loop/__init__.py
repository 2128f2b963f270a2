"""The loop from loudspeaker to microphone: feedback, ringing, gain before both."""
