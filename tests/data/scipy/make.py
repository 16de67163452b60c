"""Reference values of statistics from NumPy and SciPy, general-purpose libraries that share no code with Farwheel.

Writes statistics.csv beside this file; the versions used stand in its first line. Run it with any Python that has
scipy: python3 make.py
"""

import csv
import pathlib
import sys

import numpy as np
import scipy
from scipy import stats

HERE = pathlib.Path(__file__).parent
rows = []


def numbers(values):
    return " ".join(repr(float(v)) for v in values)


rng = np.random.default_rng(20)
sets = {
    "even": rng.uniform(50.0, 400.0, 23),
    "skewed": np.round(rng.lognormal(5.0, 0.6, 40), 2),
    "tied": np.round(rng.normal(10.0, 2.0, 60)),
    "two": np.array([3.0, 8.0]),
}
for name, x in sets.items():
    for p in (0.0, 0.02, 0.1, 0.25, 0.5, 0.9, 0.95, 0.99, 1.0):
        value = np.quantile(x, p, method="median_unbiased")
        rows.append(["quantile", name, numbers([p]), numbers(x), "", repr(float(value))])

for name, n, noise, rounded in (("strong", 30, 0.3, None), ("weak", 200, 5.0, None), ("tied", 50, 1.0, 0)):
    x = rng.normal(0.0, 1.0, n)
    y = -x + noise * rng.normal(0.0, 1.0, n)
    if rounded is not None:
        x, y = np.round(x, rounded), np.round(y, rounded)
    value = stats.spearmanr(x, y).statistic
    rows.append(["rank correlation", name, "", numbers(x), numbers(y), repr(float(value))])

# Each shape about 5, cut off at 3 and 8: parameters as Farwheel writes them.
low, high = 3.0, 8.0
shapes = {
    "normal 2": stats.norm(5.0, 2.0),
    "log-normal 0.5": stats.lognorm(0.5, scale=5.0),
    "uniform 1 9": stats.uniform(1.0, 8.0),
    "triangular 1 9": stats.triang(0.5, 1.0, 8.0),
}
for name, shape in shapes.items():
    below, above = shape.cdf(low), shape.cdf(high)
    for u in (0.001, 0.05, 0.3, 0.5, 0.77, 0.95, 0.999):
        value = shape.ppf(below + u * (above - below))
        rows.append(["cut off at 3 and 8", name, numbers([u]), "", "", repr(float(value))])

versions = f"Python {sys.version.split()[0]}, NumPy {np.__version__}, SciPy {scipy.__version__}"
with open(HERE / "statistics.csv", "w", newline="") as out:
    out.write(f"# {versions}; written by make.py\n")
    sheet = csv.writer(out, lineterminator="\n")
    sheet.writerow(["what", "name", "at", "x", "y", "value"])
    sheet.writerows(rows)
