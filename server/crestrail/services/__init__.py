"""Layer 3: one use case a file."""
