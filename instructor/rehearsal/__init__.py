"""A rehearsal: an invented class of thirty, of mixed ability, through three modules, from a flawed roster to a restored backup."""
