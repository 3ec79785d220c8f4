"""Compute, draw, sound and package flashcard decks that keep the guitar neck fresh in every key."""
