"""Fixtures of the server side (filled by the server's tests)."""
