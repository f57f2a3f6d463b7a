"""Who is in the class: the roster, read, added to, corrected, and a learner taken out of it."""
