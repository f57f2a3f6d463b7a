"""The compiled kernel. Import it through `course.engine.compiled` only: each module is compiled on import.

newton        the companion Newton of `solve`, and steps of relaxation
laws, linear  electrode laws and diodes; elimination
batch         many boats side by side; terms: laws from water and metal, tree: networks, both as it takes them
"""
