"""Where to scout: visits that can change a decision, best first."""
