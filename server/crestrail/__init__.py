"""Crestrail: what is the most to pay for a piece, and everything that makes the next answer better."""
