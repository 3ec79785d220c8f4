"""Clips played from a description; knows pitches and times, and nothing of cards."""
