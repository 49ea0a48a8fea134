"""Layer 1: what is kept. Record types, stamps, merge, stages and checks; pure."""
