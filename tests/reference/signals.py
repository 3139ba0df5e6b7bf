"""Numbers for tests/external/signals.test.ts, by SciPy from Debian.

    /usr/bin/python3 tests/reference/signals.py > tests/reference/signals.json
"""
import json

import numpy as np
import scipy
from scipy import optimize, signal

RATES = [(6.0, 60.0), (4.0, 30.0), (7.5, 120.0), (10.0, 240.0), (9.3, 59.94)]


def corrected(cutoff, rate):
    """Design cutoff of one of two passes, so that both together have half power at `cutoff`."""
    c = (2 ** (1 / 2) - 1) ** (1 / 4)
    return rate / np.pi * np.arctan(np.tan(np.pi * cutoff / rate) / c)


def filters():
    for cutoff, rate in RATES:
        for passes in (1, 2):
            design = corrected(cutoff, rate) if passes == 2 else cutoff
            b, a = signal.butter(2, design, fs=rate)
            at = [0.5 * cutoff, cutoff, 2 * cutoff]
            _, h = signal.freqz(b, a, worN=at, fs=rate)
            yield {"cutoff": cutoff, "rate": rate, "passes": passes, "b": b.tolist(), "a": a.tolist(),
                   "at": at, "gain": np.abs(h).tolist()}


def zero_lag():
    """A made-up track of 37 samples at 50 Hz, filtered at 7 Hz, corrected."""
    t = np.arange(37) / 50
    x = np.round(3 * np.sin(2 * np.pi * 1.3 * t) + 0.2 * np.cos(2 * np.pi * 11 * t) + 5 * t, 4)
    b, a = signal.butter(2, corrected(7.0, 50.0), fs=50.0)
    return {"samples": x.tolist(), "rate": 50.0, "cutoff": 7.0, "out": signal.filtfilt(b, a, x).tolist()}


def savgol():
    cases = [(5, 2, 0), (7, 2, 0), (9, 3, 0), (11, 2, 0), (7, 4, 0), (5, 2, 1), (7, 2, 1), (5, 3, 1), (7, 3, 1),
             (5, 2, 2), (7, 2, 2), (9, 2, 2), (13, 4, 1), (15, 5, 2)]
    for window, degree, derivative in cases:
        w = signal.savgol_coeffs(window, degree, deriv=derivative, use="dot")
        yield {"window": window, "degree": degree, "derivative": derivative, "weights": w.tolist()}


def sprint():
    """Mean speeds between marks, fitted by v(t) = vmax - a exp(-t / tau), averaged over each interval."""
    edges = np.array([0.4, 1.1, 1.7, 2.3, 3.0, 3.6, 4.4, 5.1])
    start, end = edges[:-1], edges[1:]
    v = np.array([3.31, 5.21, 6.38, 7.12, 7.66, 7.98, 8.21])
    u = np.array([0.10, 0.09, 0.08, 0.08, 0.09, 0.10, 0.12])

    def model(_, vmax, a, tau):
        return vmax - a * tau * (np.exp(-start / tau) - np.exp(-end / tau)) / (end - start)

    p, cov = optimize.curve_fit(model, np.arange(7), v, p0=[9, 9, 1], sigma=u, absolute_sigma=True)
    return {"start": start.tolist(), "end": end.tolist(), "speed": v.tolist(), "u": u.tolist(),
            "vmax": p[0], "a": p[1], "tau": p[2], "uVmax": cov[0, 0] ** 0.5, "uTau": cov[2, 2] ** 0.5}


print(json.dumps({"scipy": scipy.__version__, "numpy": np.__version__, "filters": list(filters()),
                  "zeroLag": zero_lag(), "savgol": list(savgol()), "sprint": sprint()}, indent=1))
