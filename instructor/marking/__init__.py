"""Marks: made from data over the cores or a cluster, kept in nbgrader's gradebook, added to by hand."""
