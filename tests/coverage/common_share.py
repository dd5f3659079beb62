"""How much of lost propulsion a squad may be taken to have in common: how often pooled ranges hold, by what is true and
what is taken for true. A sketch of `measured` with a squad of 20 (drag, propulsion, tube, habit and watch, each as wide
as there; no film, no laws of tilt), in seconds; the library itself takes hours for as many squads.

    python3 tests/coverage/common_share.py [seed [squads]]
"""

import sys

import numpy as np

SIZE, DRAWS = 20, 1500
# Per cent of the time, and SD of logarithms: drag of a usual drop, what of it is common and what her own; the table's
# breath.lost_propulsion, aids.snorkel.drag_share by power, aids.snorkel.habit; a gap of 6 and 6 swims.
DRAG, DRAG_COMMON, DRAG_OWN = 1.0, 0.45, 0.28
PROPULSION, PROPULSION_SD = 0.9, 0.8
TUBE, TUBE_SD, HABIT, GAP = 0.33, 0.27, 1.0, 0.65

nodes, shares = np.polynomial.hermite_e.hermegauss(9)
OWN_DRAG, OWN_PROPULSION = (axis.ravel() for axis in np.meshgrid(nodes, nodes))
OWN_SHARE = np.outer(shares, shares).ravel() / shares.sum() ** 2


def drag(common, own):
    return DRAG * np.exp(DRAG_COMMON * common + DRAG_OWN * own)


def propulsion(share, common, own):
    return PROPULSION * np.exp(PROPULSION_SD * (np.sqrt(share) * common + np.sqrt(1 - share) * own))


def interval(values, ln_weights):
    weights = np.exp(ln_weights - ln_weights.max())
    order = np.argsort(values)
    below = np.cumsum(weights[order]) / weights.sum()
    return values[order[np.searchsorted(below, 0.025)]], values[order[np.searchsorted(below, 0.975)]]


def squad(random, true_share, taken):
    """Of each share taken for true: whether the range of one's hips holds, and its ln width; the last is hers alone."""
    common_drag, common_propulsion, tube = random.standard_normal(3)
    own_drag, own_propulsion, habit, error = random.standard_normal((4, SIZE))
    hips = drag(common_drag, own_drag)
    gaps = hips + propulsion(true_share, common_propulsion, own_propulsion)
    gaps += -TUBE - TUBE_SD * tube - HABIT * habit + GAP * error
    variance = HABIT**2 + GAP**2
    d, p, t, mine, mine_propulsion = random.standard_normal((5, DRAWS))
    snorkel = TUBE + TUBE_SD * t
    possible = drag(d, mine)
    for share in taken:
        expected = (
            drag(d[:, None], OWN_DRAG) + propulsion(share, p[:, None], OWN_PROPULSION) - snorkel[:, None]
        )
        others = sum(np.log(np.exp(-0.5 * (gap - expected) ** 2 / variance) @ OWN_SHARE) for gap in gaps[1:])
        hers = -0.5 * (gaps[0] - possible - propulsion(share, p, mine_propulsion) + snorkel) ** 2 / variance
        for ln_weights in (hers + others, hers):
            low, high = interval(possible, ln_weights)
            yield low <= hips[0] <= high, np.log(high / low)


def main(seed=5, squads=500):
    random, taken = np.random.default_rng(seed), (0.5, 0.25, 0.0)
    for true_share in (0.5, 0.0):
        found = np.array([list(squad(random, true_share, taken)) for _ in range(squads)])
        for k, share in enumerate(taken):
            for j, whose in enumerate(("pooled", "alone ")):
                holds, width = found[:, 2 * k + j].mean(axis=0)
                error = np.sqrt(holds * (1 - holds) / squads)
                print(
                    f"true {true_share:4.2f} taken {share:4.2f} {whose} holds {holds:.3f} +- {error:.3f}, ln width {width:.2f}"
                )


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
