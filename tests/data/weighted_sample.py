"""What SciPy and NumPy say of the weighted sample in tests/order_test.cpp and tests/effects_test.cpp."""

import numpy as np
from scipy.stats import rv_discrete

state, n = 2026, 400


def uniform():
    global state
    state = (state * 6364136223846793005 + 1442695040888963407) % 2**64  # Knuth, MMIX
    return (state >> 11) * 2.0**-53


x, w, e = np.array([(uniform(), uniform(), uniform()) for _ in range(n)]).T
x, w = (4 * x - 2).astype(np.float32).astype(float), w * w
y = 0.25 * x**3 - x + 2 * e
print("quantiles", rv_discrete(values=(y, w / w.sum())).ppf([0.025, 0.1, 0.5, 0.9, 0.975]).tolist())

order = np.argsort(y)
z, cumulative = y[order], np.cumsum(w[order]) / w.sum()
before = np.concatenate([[0.0], cumulative[:-1]])
end = np.searchsorted(cumulative, before + 0.95)
width = np.where(end < n, z[np.minimum(end, n - 1)] - z, np.inf)
first = np.argmin(width)
print("shortest 95 %", z[first], z[end[first]])

effective = w.sum() ** 2 / (w**2).sum()
print("effective number", effective)


def adjusted(fitted, parameters):
    left, all_of_it = (np.average((y - m) ** 2, weights=w) for m in (fitted, np.average(y, weights=w)))
    return 1 - left / all_of_it * (effective - 1) / (effective - 1 - parameters)


print("share by a cubic", adjusted(np.polyval(np.polyfit(x, y, 3, w=np.sqrt(w)), x), 3))
group = np.digitize(x, [-0.5, 0.7])
means = np.array([np.average(y[group == g], weights=w[group == g]) for g in range(3)])
print("share by three groups", adjusted(means[group], 2))
