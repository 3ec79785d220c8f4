"""Notation: staff and tablature from a description."""
