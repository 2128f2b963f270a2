"""How far the system of a show is from ringing, and what handbooks say of its distances."""
