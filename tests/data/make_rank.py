"""Makes rank.json: ranks and null-space projectors of small integer matrices, some of them badly scaled.

Entry i, j of a case is core[i][j] * 2**(rows[i] + cols[j]), so it is exact in binary. The rank is that of the core in
rational arithmetic. Without scaling the rank must also be numpy's matrix_rank and the projector is that of
scipy.linalg.null_space; with scaling these two decide by absolute size and can miss, so the projector is computed in
rational arithmetic, which without scaling agrees with scipy's. Run in this folder: python3 make_rank.py
"""

import json
import pathlib
import random
from fractions import Fraction

import numpy
import scipy
from scipy.linalg import null_space

HERE = pathlib.Path(__file__).parent


def reduced(matrix):
    """Row echelon form in rationals, and the pivot columns."""
    rows = [[Fraction(x) for x in row] for row in matrix]
    pivots = []
    for col in range(len(matrix[0])):
        top = len(pivots)
        pivot = next((i for i in range(top, len(rows)) if rows[i][col] != 0), None)
        if pivot is None:
            continue
        rows[top], rows[pivot] = rows[pivot], rows[top]
        rows[top] = [x / rows[top][col] for x in rows[top]]
        for i in range(len(rows)):
            if i != top and rows[i][col] != 0:
                factor = rows[i][col]
                rows[i] = [x - factor * y for x, y in zip(rows[i], rows[top])]
        pivots.append(col)
    return rows[: len(pivots)], pivots


def exact_projector(matrix):
    """I - R' (R R')^-1 R with R the independent rows, in rationals."""
    basis, _ = reduced(matrix)
    n = len(matrix[0])
    if not basis:
        return numpy.eye(n)
    square = [[sum(x * y for x, y in zip(a, b)) for b in basis] for a in basis]
    solved, _ = reduced([left + right for left, right in zip(square, basis)])
    right = [row[len(basis) :] for row in solved]
    return numpy.array([[float((i == j) - sum(basis[k][i] * right[k][j] for k in range(len(basis)))) for j in range(n)] for i in range(n)])


def core(rng, m, n, rank, density):
    """A sparse integer matrix; all rows after the first `rank` are small combinations of earlier ones."""
    while True:
        rows = [[rng.choice([-1, 1]) * rng.randint(1, 9) if rng.random() < density else 0 for _ in range(n)] for _ in range(rank)]
        while len(rows) < m:
            picks = rng.sample(range(rank), min(rank, rng.randint(0, 3)))
            weights = [rng.choice([-2, -1, 1, 2, 3]) for _ in picks]
            rows.append([sum(w * rows[p][j] for w, p in zip(weights, picks)) for j in range(n)])
        rng.shuffle(rows)
        if len(reduced(rows)[1]) == rank:
            return rows


def cases(rng):
    shapes = [(4, 4, 3), (6, 4, 3), (4, 6, 4), (6, 6, 5), (8, 8, 6), (9, 6, 6), (6, 9, 5), (10, 10, 9), (12, 8, 5), (8, 12, 7), (12, 12, 12), (3, 3, 0)]
    for m, n, rank in shapes:
        for density in (0.35, 0.7):
            matrix = core(rng, m, n, rank, density)
            yield f"{m} x {n} of rank {rank}, density {density}", matrix, [0] * m, [0] * n
            for spread in (10, 30):
                rows = [rng.randint(-30, 30) for _ in range(m)]
                cols = [rng.randint(-spread, spread) for _ in range(n)]
                matrix = core(rng, m, n, rank, density)
                yield f"{m} x {n} of rank {rank}, density {density}, rows scaled 2^30, columns 2^{spread}", matrix, rows, cols


def main():
    rng = random.Random(1965)
    out = []
    worst = 0.0
    for name, matrix, rows, cols in cases(rng):
        rank = len(reduced(matrix)[1])
        scaled = [[Fraction(x) * Fraction(2) ** (r + c) for x, c in zip(row, cols)] for row, r in zip(matrix, rows)]
        # Columns 2^60 apart make the null space itself too ill-conditioned for doubles: the rank alone is compared.
        projector = exact_projector(scaled) if max(map(abs, cols)) <= 10 else None
        if not any(rows + cols):
            dense = numpy.array(matrix, dtype=float)
            assert numpy.linalg.matrix_rank(dense) == rank, name
            basis = null_space(dense)
            assert basis.shape[1] == dense.shape[1] - rank, name
            worst = max(worst, numpy.abs(projector - basis @ basis.T).max())
            projector = basis @ basis.T
        triangle = projector is not None and [float(f"{projector[i, j]:.13g}") + 0.0 for i in range(len(cols)) for j in range(i + 1)]
        out.append({"name": name, "core": matrix, "rows": rows, "cols": cols, "rank": rank, "projector": triangle or None})
    assert worst < 1e-12, worst
    head = {
        "made_by": "make_rank.py",
        "reference": f"numpy {numpy.__version__} matrix_rank, scipy {scipy.__version__} null_space; badly scaled cases in Python rationals",
        "meaning": "entry = core * 2^(rows[i] + cols[j]); projector = lower triangle of the projector onto the null space, row by row, or null",
    }
    lines = ",\n".join(json.dumps(case, separators=(",", ":")) for case in out)
    (HERE / "rank.json").write_text(json.dumps(head)[:-1] + ', "cases": [\n' + lines + "\n]}\n")


main()
