"""Study history read back: measured, shown, acted on, and a study plan simulated."""
