"""What hangs on an output: what it does to the volts there, and what it is from outside."""
