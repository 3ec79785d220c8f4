"""Lines: example lines through changes in one region, composed by what jazz lines are made of."""
