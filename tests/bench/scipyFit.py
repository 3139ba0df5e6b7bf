"""Milliseconds SciPy takes, best of many, for the most likely homography and the most likely camera of eight ice points.

The same two least-squares fits that an ice reference needs, from the same start (direct linear transform), with the
covariance; SciPy's own Levenberg-Marquardt (MINPACK), residuals in NumPy.
"""
import time

import numpy as np
from scipy.optimize import least_squares

rng = np.random.default_rng(1)
ice = np.array([[x, y] for x in (0, 50 / 3, 100 / 3, 50) for y in (1.5, -1.5)])
f, centre = 3582.0, np.array([959.5, 539.5])
place = np.array([70.0, 0.3, 4.0])


def rotation(turn):
    angle = np.linalg.norm(turn)
    x, y, z = turn
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    if angle < 1e-12:
        return np.eye(3) + k
    return np.eye(3) + np.sin(angle) / angle * k + (1 - np.cos(angle)) / angle**2 * k @ k


ahead = np.array([25.0, 0, 0]) - place
ahead /= np.linalg.norm(ahead)
right = np.cross(ahead, [0, 0, 1.0])
right /= np.linalg.norm(right)
base = np.stack([right, np.cross(ahead, right), ahead])
world = np.column_stack([ice, np.zeros(8)])


def seen(p):
    at = (world - place - p[4:7]) @ (rotation(p[1:4]) @ base).T
    return at[:, :2] / at[:, 2:] * f * np.exp(p[0]) + centre


marks = seen(np.zeros(7)) + rng.standard_normal((8, 2))


def homography():
    scale_ice, scale_px = ice.std(axis=0).mean(), marks.std(axis=0).mean()
    q = (ice - ice.mean(axis=0)) / scale_ice
    m = (marks - marks.mean(axis=0)) / scale_px
    rows = []
    for (x, y), (u, v) in zip(q, m):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]]
    h = np.linalg.svd(np.array(rows))[2][-1]

    def residuals(e):
        a = np.column_stack([q, np.ones(8)]) @ np.append(e, 1).reshape(3, 3).T
        return ((a[:, :2] / a[:, 2:] - m) * scale_px).ravel()

    return least_squares(residuals, h[:8] / h[8], method="lm", xtol=1e-10)


def fits():
    plane = homography()
    np.linalg.inv(plane.jac.T @ plane.jac)
    camera = least_squares(lambda p: (seen(p) - marks).ravel(), np.zeros(7), method="lm", xtol=1e-10, x_scale="jac")
    np.linalg.inv(camera.jac.T @ camera.jac)


best = float("inf")
for _ in range(60):
    begun = time.perf_counter()
    fits()
    best = min(best, time.perf_counter() - begun)
print(1000 * best)
