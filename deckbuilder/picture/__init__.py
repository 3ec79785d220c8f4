"""Neck pictures drawn from a description; knows strings, frets and marks, and nothing of cards."""
