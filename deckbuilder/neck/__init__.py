"""Tunings, regions and fingerings: where the music lies on a fretted neck."""
