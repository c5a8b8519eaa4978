"""The equations solved with SciPy. In: a variant, the neutral form, the number of runs. Out: seconds, steps and the place found.

The neutral form is described in equations.rs; what is read and what is written has the same lines: a name, a count and so
many numbers. Residuals and the sparse Jacobian are evaluated by arrays, without a loop; the pattern of the Jacobian is
fixed. The time is that of the search; arrays are set up apart.

Variants:
- `lsmr`: scipy.optimize.least_squares, the trust-region reflective method. For a sparse Jacobian it takes its steps by
  LSMR alone, whose iterations grow with the condition of the Jacobian. Tried, on 10 and 100 bays: unknowns scaled by the
  Jacobian's columns (the best: ten bays of the chain in 13 evaluations; unscaled it finds nothing in 200), by a constant,
  and so that the trust region doesn't bind; LSMR to 1e-14 and 1e-8 (as good, a third faster) and as it comes, and with its
  regularisation (both to other roots). None of them finds the place of 100 bays of the loop in 200 evaluations.
- `superlu`: Gauss and Newton's method by SciPy's sparse LU of the normal equations.
"""

import sys
import time

import numpy as np
import scipy.optimize
import scipy.sparse as sparse
import scipy.sparse.linalg


# No more runs once they took so many seconds together.
ENOUGH = 20.0


class Forms:
    """Affine forms: constant + matrix · unknowns."""

    def __init__(self, arrays, name, unknowns):
        self.constant = arrays[name + "_constant"]
        self.first = arrays[name + "_first"].astype(np.int64)
        self.unknown = arrays[name + "_unknown"].astype(np.int64)
        self.coefficient = arrays[name + "_coefficient"]
        shape = (len(self.constant), unknowns)
        self.matrix = sparse.csr_matrix((self.coefficient, self.unknown, self.first), shape)

    def __call__(self, x):
        return self.constant + self.matrix @ x

    def entries(self, forms):
        """Of several forms, one after the other: which one in the list, unknown and coefficient of each entry."""
        counts = self.first[forms + 1] - self.first[forms]
        which = np.repeat(np.arange(len(forms)), counts)
        at = np.arange(len(which)) + np.repeat(self.first[forms] - (np.cumsum(counts) - counts), counts)
        return which, self.unknown[at], self.coefficient[at]


class Equations:
    """Residuals and derivatives of all rows at once."""

    def __init__(self, path):
        arrays = read(path)
        self.start = arrays["start"]
        self.within = arrays["within"][0]
        unknowns = len(self.start)
        self.angles = Forms(arrays, "angle", unknowns)
        self.amounts = Forms(arrays, "amount", unknowns)
        first_term, first_factor, factor = (
            arrays[name].astype(np.int64) for name in ("first_term", "first_factor", "factor")
        )
        self.first_term = first_term[:-1]
        self.rows = len(first_term) - 1
        terms = len(first_factor) - 1
        row_of = np.repeat(np.arange(self.rows), np.diff(first_term))
        # factors of all terms, as many columns as the longest product; what is missing is a 1 that stands last
        counts = np.diff(first_factor)
        self.wide = int(counts.max(initial=0))
        self.factors = np.full((terms, self.wide), 2 * len(self.angles.constant))
        self.factors[np.arange(self.wide) < counts[:, None]] = factor

        # entries of the Jacobian: of the amounts, then of the angles in each column of factors
        self.by_amount, columns, self.amount_by = self.amounts.entries(np.arange(terms))
        rows = [row_of[self.by_amount]]
        columns = [columns]
        self.by_angle = []
        for place in range(self.wide):
            term = np.flatnonzero(counts > place)
            which, unknown, by = self.angles.entries(self.factors[term, place] // 2)
            rows.append(row_of[term[which]])
            columns.append(unknown)
            self.by_angle.append((place, term[which], by))
        key = np.concatenate(rows) * unknowns + np.concatenate(columns)
        pattern, self.slot = np.unique(key, return_inverse=True)
        self.entries = len(pattern)
        self.columns = pattern % unknowns
        self.first = np.searchsorted(pattern, np.arange(self.rows + 1) * unknowns)

    def at(self, x):
        angles = self.angles(x)
        trig = np.empty(2 * len(angles) + 1)
        trig[0:-1:2] = np.sin(angles)
        trig[1:-1:2] = np.cos(angles)
        trig[-1] = 1.0
        return trig, trig[self.factors], self.amounts(x)

    def residuals(self, x):
        _, factors, amounts = self.at(x)
        return np.add.reduceat(factors.prod(axis=1) * amounts, self.first_term)

    def jacobian(self, x):
        trig, factors, amounts = self.at(x)
        parts = [factors.prod(axis=1)[self.by_amount] * self.amount_by]
        for place, term, by in self.by_angle:
            # (sin θ)' = cos θ and (cos θ)' = −sin θ
            factor = self.factors[term, place]
            derivative = np.where(factor % 2 == 0, trig[factor ^ 1], -trig[factor ^ 1])
            others = np.delete(factors[term], place, axis=1).prod(axis=1)
            parts.append(amounts[term] * others * derivative * by)
        values = np.bincount(self.slot, np.concatenate(parts), self.entries)
        shape = (self.rows, len(self.start))
        return sparse.csr_matrix((values, self.columns, self.first), shape)


def read(path):
    arrays = {}
    with open(path, encoding="ascii") as file:
        for line in file:
            name, count, *values = line.split()
            arrays[name] = np.array(values, dtype=float)
            assert len(values) == int(count), name
    return arrays


class Reached(Exception):
    """Every residual is within what is asked."""


def lsmr(equations):
    last = [equations.start]

    def residuals(x):
        last[0] = x
        r = equations.residuals(x)
        if np.abs(r).max() <= equations.within:
            raise Reached
        residuals.evaluations += 1
        return r

    residuals.evaluations = 0
    try:
        # the tolerances end no search before it is reached
        ended = scipy.optimize.least_squares(
            residuals,
            equations.start,
            equations.jacobian,
            method="trf",
            x_scale="jac",
            tr_solver="lsmr",
            tr_options={"regularize": False, "atol": 1e-8, "btol": 1e-8, "conlim": 0, "maxiter": 20 * len(equations.start)},
            ftol=None,
            xtol=1e-15,
            gtol=None,
            max_nfev=200,
        )
    except Reached:
        return last[0].copy(), residuals.evaluations
    raise SystemExit(f"{np.abs(ended.fun).max():.1e} mm after {ended.nfev} evaluations: {ended.message}")


def superlu(equations):
    x = equations.start.copy()
    for steps in range(50):
        r = equations.residuals(x)
        if np.abs(r).max() <= equations.within:
            return x, steps
        jacobian = equations.jacobian(x)
        normal = (jacobian.T @ jacobian).tocsc()
        factor = sparse.linalg.splu(normal, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
        x -= factor.solve(jacobian.T @ r)
    raise SystemExit(f"{np.abs(r).max():.1e} mm after 50 steps")


def main(variant, path, runs):
    search = {"lsmr": lsmr, "superlu": superlu}[variant]
    begun = time.perf_counter()
    equations = Equations(path)
    built = time.perf_counter() - begun
    times = []
    while len(times) < int(runs) and sum(times) <= ENOUGH:
        begun = time.perf_counter()
        x, steps = search(equations)
        times.append(time.perf_counter() - begun)
    for name, values in ("built", [built]), ("times", times), ("steps", [steps]), ("x", x):
        print(name, len(values), *(repr(float(value)) for value in values))


if __name__ == "__main__":
    main(*sys.argv[1:])
