"""Layer 1: what can hurt somebody, and what to check before paying; data with sources; pure."""
