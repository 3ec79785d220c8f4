// The desk.
