"""What marks say: a page for each learner, and the report on the class."""
