"""A linear case of evidence weighed together, by another route than the library's.

    python3 linear-evidence.py > linear-evidence.csv

Needs numpy 2.4.6 and scipy 1.16.3. The library solves normal equations piece by piece. Here the joint Gaussian of unknowns
and observations is written down and conditioned: mean P J' S^-1 o, covariance P - P J' S^-1 J P with S = J P J' + R;
residuals have the covariance R S^-1 R; the evidence is the density of o under N(0, S), scipy.stats.
"""

import numpy as np
from scipy.linalg import block_diag, solve
from scipy.stats import multivariate_normal

UNKNOWNS, SIZES = 4, (3, 2)


def main():
    rng = np.random.default_rng(20)
    variances = np.array([1.0, 0.9, 1.0, 0.5])
    jacobians = [np.round(rng.normal(size=(n, UNKNOWNS)), 3) for n in SIZES]
    covariances = []
    for n in SIZES:
        shared = np.round(rng.normal(size=(n, 2)) * 0.4, 2)
        covariances.append(np.round(0.2 * np.eye(n) + shared @ shared.T, 6))
    observed = [np.round(rng.normal(size=n) * 1.5, 3) for n in SIZES]

    p, j, r, o = np.diag(variances), np.vstack(jacobians), block_diag(*covariances), np.concatenate(observed)
    s = j @ p @ j.T + r
    gain = solve(s, j @ p, assume_a="pos").T
    mean, covariance = gain @ o, p - gain @ j @ p
    left = r @ solve(s, r, assume_a="pos")
    normalised = (o - j @ mean) / np.sqrt(np.diag(left))

    def show(key, values):
        print(f"{key},{' '.join(repr(float(v)) for v in np.ravel(values))}")

    print("key,values")
    show("prior_variances", variances)
    for i in range(len(SIZES)):
        show(f"observed_{i + 1}", observed[i])
        show(f"jacobian_{i + 1}", jacobians[i])
        show(f"covariance_{i + 1}", covariances[i])
    show("mean", mean)
    show("posterior_covariance", covariance)
    show("normalised_residuals", normalised)
    show("log_evidence", multivariate_normal(np.zeros(len(o)), s).logpdf(o))


main()
