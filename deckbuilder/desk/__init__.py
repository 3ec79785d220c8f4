"""Desk: a page of one's own in the browser, over the same functions as the commands."""
