"""Layer 0: money, rounding, time, identifiers, units and errors. Standard library only."""
