"""Media store, note types and package writers: from notes and media to a file a phone can import."""
