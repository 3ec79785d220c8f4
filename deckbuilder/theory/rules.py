"""Rules: how a chord of a form is read in its context, by the first that applies.

1. What the writer says: a chord applied to another (`V/ii`, `subV`), a colour or a scale in braces.
2. A dominant seventh is, in this order, the V of the key; the I7 or IV7 of a blues (a key whose tonic chord is
   always a dominant seventh and whose IV is no major one), unless it is altered; a secondary dominant, if the next root
   lies a fifth below; a tritone substitute, if it lies a semitone below; diatonic, if its tones lie in the key (♭VII7
   in minor); the backdoor ♭VII7, if the tonic follows; else a dominant that does not resolve.
3. The tonic of a minor key draws on the melodic minor scale, unless its minor seventh is written.
4. A minor seventh before a dominant from outside the key a fourth above, which resolves, is its related ii, also where
   its own tones lie in the key, as those of iii7 before VI7 do: it draws on dorian. The tonic of a minor key is none.
5. A chord whose tones all lie in the key is diatonic and draws on the key's scale; in a minor key on the natural minor,
   else on the melodic minor, if that has them all.
6. Any other minor seventh or half-diminished chord before a secondary dominant or a tritone substitute a fourth above
   is its related ii.
7. A minor sixth or minor with major seventh draws on its own melodic minor scale, a diminished seventh on the
   whole-half diminished one.
8. A chord whose tones all lie in the parallel key is borrowed from there (modal interchange) and draws on its scale.
9. Any other chord draws on the usual scale of its quality: a major seventh on lydian, a minor one on dorian, a
   half-diminished one on locrian, a suspended one on mixolydian, a major seventh with raised fifth on lydian augmented.

Source: common practice of jazz harmony texts, no single source.
"""

from enum import StrEnum


class Rule(StrEnum):
    """Which rule read a chord."""

    WRITTEN = "written"
    DIATONIC = "diatonic"
    BLUES = "blues"
    SECONDARY = "secondary dominant"
    SUBSTITUTE = "tritone substitute"
    BACKDOOR = "backdoor dominant"
    UNRESOLVED = "unresolved dominant"
    MINOR_TONIC = "minor tonic"
    RELATED_II = "related ii"
    OWN_SCALE = "own scale"
    BORROWED = "modal interchange"
    USUAL = "usual scale"
