"""Correlations of two short tracks for tests/external/sound.test.ts, by SciPy from Debian.

    /usr/bin/python3 tests/reference/sound.py > tests/reference/sound.json
"""
import json

import numpy as np
import scipy
from scipy import signal

rng = np.random.default_rng(20261130)
RATE = 8000
BAND = (200, 3600)


def phat(first, second):
    """Generalised cross-correlation with the phase transform, by Knapp and Carter's formula, at every lag of signal.correlate."""
    lags = len(first) + len(second) - 1
    n = 2 ** int(np.ceil(np.log2(lags)))
    cross = np.fft.rfft(first, n) * np.conj(np.fft.rfft(second, n))
    k = np.arange(len(cross))
    low, high = (int(round(hertz * n / RATE)) for hertz in BAND)
    kept = (k >= low) & (k <= min(high, n // 2 - 1))
    whitened = np.where(kept, cross / np.maximum(np.abs(cross), 1e-300), 0)
    around = np.fft.irfft(whitened, n)
    return np.concatenate([around[-(len(second) - 1):], around[: len(first)]])


def cases():
    for samples, late in [(700, 93), (900, -140), (640, 0)]:
        sound = signal.lfilter([1], [1, -0.6], rng.normal(0, 1500, samples + 400))
        first = sound[200 : 200 + samples] + rng.normal(0, 300, samples)
        second = 0.4 * sound[200 + late : 200 + late + samples - 50] + rng.normal(0, 100, samples - 50)
        first, second = np.round(first).astype(int), np.round(second).astype(int)
        plain = signal.correlate(first.astype(float), second.astype(float), mode="full")
        lags = signal.correlation_lags(len(first), len(second), mode="full")
        weighted = phat(first, second)
        yield {
            "first": first.tolist(),
            "second": second.tolist(),
            "plain_lag": int(lags[np.argmax(plain)]),
            "phat": np.round(weighted[::7], 12).tolist(),
            "phat_lag": int(lags[np.argmax(weighted)]),
        }


print(json.dumps({"made_by": f"SciPy {scipy.__version__}, NumPy {np.__version__}", "rate": RATE, "every": 7, "cases": list(cases())}))
