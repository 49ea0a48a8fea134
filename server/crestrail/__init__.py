"""Crestrail: what is the most to pay for a piece, and all that makes the next answer better."""
