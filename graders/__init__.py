"""Exercises and their marking: pure functions of data; no learner code is ever run."""
