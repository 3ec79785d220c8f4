"""A static page that shows every card of a deck; knows cards and their templates."""
