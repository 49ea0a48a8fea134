"""Layer 1: what it brings, how long it takes, the most to pay; pure."""
