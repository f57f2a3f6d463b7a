"""The compiled kernel's tree form of a network; twin of `tree.plant`."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from course.engine.errors import Array
from course.engine.jit import helper
from course.engine.tree import BOND, TIE

Numbers = NDArray[np.int64]


@helper
def strongest_first(conductance: Array) -> Numbers:
    """Numbers of the links that conduct, strongest first (insertion sort: they are few)."""
    order = np.empty(conductance.shape[0], np.int64)
    count = 0
    for k in range(conductance.shape[0]):
        if conductance[k] > 0.0:
            at = count
            while at > 0 and conductance[order[at - 1]] < conductance[k]:
                order[at] = order[at - 1]
                at -= 1
            order[at] = k
            count += 1
    return order[:count]


@helper
def find(parent: Numbers, node: int) -> int:
    """The node that stands for a set of joined ones."""
    while parent[node] != node:
        parent[node] = parent[parent[node]]
        node = parent[node]
    return node


@helper
def forest(size: int, ends: Numbers, order: Numbers) -> tuple[Array, Numbers]:
    """The spanning forest of strongest links as `tree._basis` gives it, and each node's root."""
    parent = np.arange(size)
    first, other, following = np.full(size, -1), np.empty(2 * size, np.int64), np.empty(2 * size, np.int64)
    used = 0
    for k in order:
        a, b = find(parent, ends[k, 0]), find(parent, ends[k, 1])
        if a != b:
            parent[b] = a
            for here, there in ((ends[k, 0], ends[k, 1]), (ends[k, 1], ends[k, 0])):
                other[used], following[used], first[here] = there, first[here], used
                used += 1
    basis, root, queue = np.zeros((size, size)), np.full(size, -1), np.empty(size, np.int64)
    for begin in range(size):
        if root[begin] >= 0:
            continue
        root[begin], basis[begin, begin], queue[0] = begin, 1.0, begin
        read, written = 0, 1
        while read < written:
            node = queue[read]
            read += 1
            edge = first[node]
            while edge >= 0:
                child = other[edge]
                if root[child] < 0:
                    root[child] = begin
                    basis[child] = basis[node]
                    basis[child, child] = 1.0
                    queue[written] = child
                    written += 1
                edge = following[edge]
    return basis, root


@helper
def add_link(basis: Array, a: int, b: int, g: float, emf: float, matrix: Array, inflow: Array) -> None:
    """Add one linear element to the matrix and inflow in tree unknowns, along its path only."""
    size = inflow.shape[0]
    path = np.empty(size, np.int64)
    count = 0
    for j in range(size):
        if basis[a, j] != basis[b, j]:
            path[count] = j
            count += 1
    for x in range(count):
        i = path[x]
        here = g * (basis[a, i] - basis[b, i])
        inflow[i] -= here * emf
        for y in range(count):
            j = path[y]
            matrix[i, j] += here * (basis[a, j] - basis[b, j])


@helper
def bonded(size: int, ends: Numbers, conductance: Array, wires: int, node: Numbers) -> Numbers:
    """Number, from 0, of the bonded group of each patch; the first `wires` links are branches."""
    parent, number, member = np.arange(size), np.full(size, -1), np.empty(node.shape[0], np.int64)
    for k in range(wires):
        if conductance[k] > BOND:
            a, b = find(parent, ends[k, 0]), find(parent, ends[k, 1])
            parent[b] = a
    groups = 0
    for k in range(node.shape[0]):
        top = find(parent, node[k])
        if number[top] < 0:
            number[top] = groups
            groups += 1
        member[k] = number[top]
    return member


@helper
def plant(
    size: int, ends: Numbers, conductance: Array, emf: Array, strings: Numbers, node: Numbers
) -> tuple[Array, Array, Array, Array]:
    """Basis, matrix [S], inflow [A] and rows of the diode strings; see `tree.Tree`."""
    order = strongest_first(conductance)
    basis, root = forest(size, ends, order)
    matrix, inflow = np.zeros((size, size)), np.zeros(size)
    for k in order:
        add_link(basis, ends[k, 0], ends[k, 1], conductance[k], emf[k], matrix, inflow)
    dry = np.ones(size, np.bool_)
    for k in node:
        dry[root[k]] = False
    for k in range(size):
        if root[k] == k and dry[k]:
            matrix[k, k] += TIE
    rows = np.empty((strings.shape[0], size))
    for d in range(strings.shape[0]):
        for j in range(size):
            rows[d, j] = basis[strings[d, 0], j] - basis[strings[d, 1], j]
    return basis, matrix, inflow, rows
