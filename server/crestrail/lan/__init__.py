"""Phones on the home network: a lasting name, its announcement, and the two listeners."""
