"""The shelf: ready-made decks for players who build none, and the page that offers them.

Every deck on it is a part of one and the same deck, notes and subdecks alike: whoever imports a larger one later gets
what is missing, and what was studied stays as it is.
"""
