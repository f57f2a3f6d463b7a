"""The command line, and the instructor's side of a class."""
