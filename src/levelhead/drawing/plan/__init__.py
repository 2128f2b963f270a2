"""The stage plan: who and what stands where."""
