"""Layer 1: every cent, mile and minute; pure."""
