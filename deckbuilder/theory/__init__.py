"""Keys, scales, chords, arpeggios and degrees: music without a neck and without files."""
