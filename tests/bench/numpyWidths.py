"""Milliseconds for 10,000 draws of 18 stride widths by plain NumPy: marks through a drawn homography, three-point widths."""
import time

import numpy as np

rng = np.random.default_rng(1)
DRAWS, POINTS = 10_000, 20
h = np.array([[91.08, 32.21, 898.1], [0.33, 2.45, 587.4], [0.0062, 0.0456, 1.0]])
begun = time.perf_counter()
inverse = np.linalg.inv(h + 1e-5 * np.abs(h) * rng.standard_normal((DRAWS, 3, 3)))
marks = np.stack([np.linspace(400, 1200, POINTS), np.linspace(500, 700, POINTS), np.ones(POINTS)])
drawn = marks[None, None] + np.stack([rng.standard_normal((DRAWS, 2, POINTS)), rng.standard_normal((DRAWS, 2, POINTS)),
                                      np.zeros((DRAWS, 2, POINTS))], axis=2)
ice = np.einsum("dij,dejp->deip", inverse, drawn)
middle = (ice[:, :, :2] / ice[:, :, 2:]).mean(axis=1)
speed = 1 + 0.4 * rng.standard_normal((DRAWS, 1))
slip = rng.choice([-1, 0, 1], p=[0.1, 0.8, 0.1], size=(DRAWS, POINTS)) + rng.random((DRAWS, POINTS))
slide = speed * slip / 60
a, p, b = middle[:, :, :-2], middle[:, :, 1:-1], middle[:, :, 2:]
along, beside = b - a, p - a
width = (along[:, 0] * beside[:, 1] - along[:, 1] * beside[:, 0]) / np.hypot(along[:, 0], along[:, 1])
width += slide[:, 1:-1] + (slide[:, :-2] + slide[:, 2:]) / 2
np.quantile(width, [0.025, 0.975], axis=0)
print(1000 * (time.perf_counter() - begun))
