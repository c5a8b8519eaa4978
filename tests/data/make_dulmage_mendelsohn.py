"""Makes dulmage_mendelsohn.json: coarse and fine sets of random sparse patterns as found by CXSparse's cs_dmperm.

Needs a C compiler, CXSparse (Debian: libsuitesparse-dev) and scipy, whose structural_rank is the second opinion on each
case. Run in this folder: python3 make_dulmage_mendelsohn.py
"""

import json
import pathlib
import random
import subprocess
import tempfile

import numpy
import scipy
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import structural_rank

HERE = pathlib.Path(__file__).parent

# Reads rows, columns and then pairs; writes version, permutations p and q, fine blocks r and s, coarse blocks rr and cc.
PROGRAM = r"""
#include <cs.h>
#include <stdio.h>
static void line(const int *v, int n) { for (int i = 0; i < n; i++) printf("%d ", v[i]); printf("\n"); }
int main(void) {
  int m, n, i, j;
  if (scanf("%d %d", &m, &n) != 2) return 1;
  cs_di *t = cs_di_spalloc(m, n, 1, 1, 1);
  while (scanf("%d %d", &i, &j) == 2) cs_di_entry(t, i, j, 1.0);
  t->m = m; t->n = n;
  cs_di *a = cs_di_compress(t);
  cs_did *d = cs_di_dmperm(a, 0);
  printf("%d.%d.%d\n", CS_VER, CS_SUBVER, CS_SUBSUB);
  line(d->p, m); line(d->q, n); line(d->r, d->nb + 1); line(d->s, d->nb + 1); line(d->rr, 5); line(d->cc, 5);
  return 0;
}
"""


def build(folder):
    source = folder / "dm.c"
    source.write_text(PROGRAM)
    program = folder / "dm"
    subprocess.run(["cc", source, "-I/usr/include/suitesparse", "-lcxsparse", "-o", program], check=True)
    return program


def decompose(program, columns, rows):
    pairs = "\n".join(f"{i} {j}" for i, row in enumerate(rows) for j in row)
    run = subprocess.run([program], input=f"{len(rows)} {columns}\n{pairs}\n", text=True, capture_output=True, check=True)
    version, *lines = run.stdout.splitlines()
    p, q, r, s, rr, cc = ([int(word) for word in line.split()] for line in lines)

    def part(rows_from, rows_to, cols_from, cols_to):
        return [sorted(p[rows_from:rows_to]), sorted(q[cols_from:cols_to])]

    fine = [part(r[k], r[k + 1], s[k], s[k + 1]) for k in range(len(r) - 1) if rr[1] <= r[k] and r[k + 1] <= rr[2] and cc[2] <= s[k] and s[k + 1] <= cc[3]]
    return version, rr[3], {
        "under": part(rr[0], rr[1], cc[0], cc[2]),
        "well": part(rr[1], rr[2], cc[2], cc[3]),
        "over": part(rr[2], rr[4], cc[3], cc[4]),
        "fine": sorted(fine),
    }


def uniform(rng, m, n, per_row):
    density = min(1.0, per_row / n)
    return [[j for j in range(n) if rng.random() < density] for _ in range(m)]


def hidden_diagonal(rng, n, per_row):
    """Square with a perfect matching; extra entries mostly near it, so that blocks of many sizes arise."""
    place = list(range(n))
    rng.shuffle(place)
    number = list(range(n))
    rng.shuffle(number)
    rows = [None] * n
    for i in range(n):
        cols = {place[i]}
        while rng.random() < per_row / (1.0 + per_row):
            k = i + rng.choice([-4, -3, -2, -1, -1, 1, 2])
            if 0 <= k < n:
                cols.add(place[k])
        rows[number[i]] = sorted(cols)
    return rows


def chained(rng, bays):
    """Bays of a few unknowns each, tied to the one before; now and then a tie too many or too few."""
    rows, columns = [], 0
    for bay in range(bays):
        here = list(range(columns, columns + 4))
        before = list(range(max(0, columns - 4), columns))
        columns += 4
        for _ in range(4 + rng.choice([-1, 0, 0, 0, 0, 1])):
            rows.append(sorted(set(rng.sample(here, rng.randint(1, 3)) + (rng.sample(before, rng.randint(0, 2)) if before else []))))
    rng.shuffle(rows)
    return columns, rows


def cases(rng):
    for m, n in [(8, 8), (20, 20), (40, 40), (80, 80), (12, 20), (20, 12), (60, 40), (40, 60)]:
        for per_row in (0.7, 1.2, 2.0, 3.0, 4.5):
            yield f"uniform {m} x {n}, about {per_row} to a row", n, uniform(rng, m, n, per_row)
    for n in (6, 15, 30, 60, 120):
        for per_row in (0.4, 0.8, 1.2, 2.0):
            yield f"hidden diagonal {n}, about {per_row} more to a row", n, hidden_diagonal(rng, n, per_row)
    for bays in (3, 6, 10, 16, 24, 32):
        columns, rows = chained(rng, bays)
        yield f"chain of {bays} bays", columns, rows
    for m, n in [(1, 1), (1, 5), (5, 1), (7, 7)]:
        yield f"nearly empty {m} x {n}", n, uniform(rng, m, n, 0.3)


def main():
    rng = random.Random(1958)
    out = []
    with tempfile.TemporaryDirectory() as folder:
        program = build(pathlib.Path(folder))
        for name, columns, rows in cases(rng):
            version, rank, sets = decompose(program, columns, rows)
            dense = numpy.zeros((len(rows), columns))
            for i, row in enumerate(rows):
                dense[i, row] = 1.0
            assert structural_rank(csr_matrix(dense)) == rank, name
            out.append({"name": name, "columns": columns, "pattern": rows, "structural_rank": rank, **sets})
    head = {
        "made_by": "make_dulmage_mendelsohn.py",
        "reference": f"CXSparse {version} cs_dmperm; structural rank confirmed by scipy {scipy.__version__}",
        "meaning": "each part is [rows, columns], ascending; fine = the blocks of the well-determined part, in no order",
    }
    lines = ",\n".join(json.dumps(case, separators=(",", ":")) for case in out)
    text = json.dumps(head)[:-1] + ', "cases": [\n' + lines + "\n]}\n"
    (HERE / "dulmage_mendelsohn.json").write_text(text)


main()
