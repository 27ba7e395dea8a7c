"""Which distributor for which work: configurations over a list of jobs, and common sizes at published rates."""
