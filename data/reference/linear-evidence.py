"""A linear case of evidence weighed together, by another route than the library's.

    python3 linear-evidence.py > linear-evidence.csv

Needs numpy 2.4.6 and scipy 1.16.3. The library solves normal equations piece by piece. Here the joint Gaussian of unknowns
and observations is written down and conditioned: mean P J' S^-1 o, covariance P - P J' S^-1 J P with S = J P J' + R;
the evidence is the density of o under N(0, S), scipy.stats. What all the rest says of a piece is the joint Gaussian of
the observations conditioned on those of the other pieces.

The second case has five single observations, one of them far off. By the weights that judge, the errors of those more than
three standard deviations off what the others say are widened until they lie three off, R/w, round by round to 1e-12. By those
that count, each is widened until its square is 9/q^2, q the square over 9 that it had at weight one.
"""

import numpy as np
from scipy.linalg import block_diag, solve
from scipy.stats import multivariate_normal

UNKNOWNS, SIZES = 4, (3, 2)


def conditioned(s, o, own, rest):
    """Mean and covariance of the observations `own`, given those of `rest`."""
    gain = solve(s[np.ix_(rest, rest)], s[np.ix_(rest, own)], assume_a="pos").T
    return gain @ o[rest], s[np.ix_(own, own)] - gain @ s[np.ix_(rest, own)]


def show(key, values):
    print(f"{key},{' '.join(repr(float(v)) for v in np.ravel(values))}")


def far_off():
    rng = np.random.default_rng(7)
    variances = np.array([1.0, 0.9, 1.0, 0.5])
    jacobian = np.round(rng.normal(size=(5, UNKNOWNS)), 3)
    sigma2 = np.array([0.04, 0.09, 0.01, 0.04, 0.02])
    truth = np.array([0.4, -0.7, 1.1, 0.2])
    observed = np.round(jacobian @ truth + rng.normal(size=5) * np.sqrt(sigma2), 3)
    observed[3] += 6.0
    p, weights = np.diag(variances), np.ones(5)
    for _ in range(1000):
        before = weights.copy()
        s = jacobian @ p @ jacobian.T + np.diag(sigma2 / weights)
        asked, counting, off = np.ones(5), np.ones(5), np.zeros(5)
        for i in range(5):
            rest = [j for j in range(5) if j != i]
            mean, variance = conditioned(s, observed, [i], rest)
            others = variance[0, 0] - sigma2[i] / weights[i]
            d = observed[i] - mean[0]
            off[i] = d / np.sqrt(sigma2[i] + others)
            if abs(off[i]) > 3.0:
                asked[i] = sigma2[i] / (d * d / 9.0 - others)
                counting[i] = sigma2[i] / (d * d * (off[i] ** 2 / 9.0) ** 2 / 9.0 - others)
        weights = asked
        if np.max(np.abs(np.log(weights / before))) < 1e-12:
            break
    else:
        raise SystemExit("the weights do not settle")
    s = jacobian @ p @ jacobian.T + np.diag(sigma2 / counting)
    show("far_jacobian", jacobian)
    show("far_variances", sigma2)
    show("far_observed", observed)
    show("far_deviations", off)
    show("far_weights", counting)
    show("far_mean", p @ jacobian.T @ solve(s, observed, assume_a="pos"))
    show("far_log_evidence", multivariate_normal(np.zeros(5), s).logpdf(observed))


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
    places = np.split(np.arange(len(o)), np.cumsum(SIZES)[:-1])
    deviations = []
    for own in places:
        rest = [k for k in range(len(o)) if k not in own]
        said, spread = conditioned(s, o, list(own), rest)
        deviations.append((o[own] - said) / np.sqrt(np.diag(spread)))

    print("key,values")
    show("prior_variances", variances)
    for i in range(len(SIZES)):
        show(f"observed_{i + 1}", observed[i])
        show(f"jacobian_{i + 1}", jacobians[i])
        show(f"covariance_{i + 1}", covariances[i])
    show("mean", mean)
    show("posterior_covariance", covariance)
    show("deviations", np.concatenate(deviations))
    show("log_evidence", multivariate_normal(np.zeros(len(o)), s).logpdf(o))
    far_off()


main()
