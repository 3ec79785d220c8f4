"""A class: the decks of several students, and what their study shows."""
