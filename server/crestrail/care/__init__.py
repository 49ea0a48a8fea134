"""Layer 1: what can hurt somebody, and what to look at before buying; data with sources; pure."""
