"""Hunting a fault: what each measurement can tell, a reference hunter to set par by, and the score of a learner's hunt."""
