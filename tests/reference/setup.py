"""Numbers for tests/external/setupJointFit.test.ts: one camera, four clips, fitted as one.

Debian 12: apt-get install python3-scipy; /usr/bin/python3 tests/reference/setup.py > tests/reference/setup.json
Made with SciPy 1.10.1, NumPy 1.24.2.

The camera: one focal length, place, principal point (expected in the middle give or take 2 % of the width) and k1 (0 give or take 0.15);
each clip has a turn of its own; taped places err by 2 cm, the same place alike in all clips. Clip "a" has eight points, "b" three,
"c" none but where the background of "a" is seen in it, "d" two and a background of "b".
"""
import json

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

WIDTH, HEIGHT = 1920, 1080
MIDDLE = np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2])
LOOSE = 0.02 * WIDTH
TAPE, MARK, LENS = 0.02, 1.0, 0.15
REACH = np.hypot(WIDTH, HEIGHT) / np.sqrt(12)
CENTRE, FOCAL, OFF, K1 = np.array([-9.0, -1.5, 3.2]), 1560.0, np.array([12.0, -7.0]), -0.03
PLACES = {"A": (6, -3), "B": (6, 3), "C": (12, -3), "D": (12, 3), "E": (18, -3), "F": (18, 3), "G": (24, -3), "H": (24, 3.5)}
CLIPS = {"a": list("ABCDEFGH"), "b": list("BEH"), "c": [], "d": list("AF")}
TURNS = {"a": (0, 0, 0), "b": (0.004, -0.003, 0.001), "c": (-0.002, 0.0015, 0.0008), "d": (0.001, 0.005, -0.002)}
LIKE = {"c": ("a", 0.08), "d": ("b", 0.3)}


def looking(centre, aim):
    forward = np.array([*aim, 0]) - centre
    forward /= np.linalg.norm(forward)
    right = np.cross(forward, [0, 0, 1.0])
    right /= np.linalg.norm(right)
    return np.vstack([right, np.cross(forward, right), forward])


BASE = looking(CENTRE, [16, 0.2])


def seen(place, f, c, turn, centre_px, k1):
    p = Rotation.from_rotvec(turn).as_matrix() @ BASE @ (np.array([*place, 0]) - c)
    p = p[:2] / p[2]
    return f * p * (1 + k1 * (p**2).sum()) + centre_px


def background(f, one, other, centre_px):
    """Where the middle of the picture of one turn is seen with the other: right, down (px), clockwise (radians); the lens aside."""
    both = Rotation.from_rotvec(other).as_matrix() @ Rotation.from_rotvec(one).as_matrix().T

    def at(q):
        d = both @ np.array([*((q - centre_px) / f), 1])
        return f * d[:2] / d[2] + centre_px

    middle, left, right = at(MIDDLE), at(MIDDLE - [100, 0]), at(MIDDLE + [100, 0])
    return np.array([*(middle - MIDDLE), np.arctan2(right[1] - left[1], right[0] - left[0])])


rng = np.random.default_rng(11)
true_places = {k: np.array(v) + rng.normal(0, TAPE, 2) for k, v in PLACES.items()}
marks = {clip: {n: np.round(seen(true_places[n], FOCAL, CENTRE, TURNS[clip], MIDDLE + OFF, K1) + rng.normal(0, MARK, 2), 3) for n in names}
         for clip, names in CLIPS.items()}
likes = {}
for clip, (other, sd) in LIKE.items():
    found = background(FOCAL, TURNS[other], TURNS[clip], MIDDLE + OFF)
    likes[clip] = found + rng.normal(0, sd, 3) * [1, 1, 1 / REACH]
    likes[clip] = np.array([round(likes[clip][0], 4), round(likes[clip][1], 4), np.radians(round(np.degrees(likes[clip][2]), 6))])
names, clips = list(PLACES), list(CLIPS)


def unpack(v):
    tapes = v[7 : 7 + 2 * len(names)].reshape(-1, 2)
    return v[0] * 1000, v[1:4], v[4:6], v[6], tapes, v[7 + 2 * len(names) :].reshape(-1, 3)


def residuals(v):
    f, c, off, k1, tapes, turns = unpack(v)
    out = [off, [k1 / LENS], tapes.ravel()]
    for clip, own in marks.items():
        for n, mark in own.items():
            place = np.array(PLACES[n]) + TAPE * tapes[names.index(n)]
            out.append((seen(place, f, c, turns[clips.index(clip)], MIDDLE + LOOSE * off, k1) - mark) / MARK)
    for clip, (other, sd) in LIKE.items():
        got = background(f, turns[clips.index(other)], turns[clips.index(clip)], MIDDLE + LOOSE * off)
        out.append((got - likes[clip]) / sd * [1, 1, REACH])
    return np.concatenate([np.ravel(o) for o in out])


start = np.concatenate([[FOCAL / 1000], CENTRE, [0, 0, 0], np.zeros(2 * len(names) + 3 * len(clips))])
fit = least_squares(residuals, start, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
covariance = np.linalg.inv(fit.jac.T @ fit.jac)
f, c, off, k1, tapes, turns = unpack(fit.x)
POINTS = [("a", (900, 620)), ("b", (1200, 500)), ("c", (700, 640)), ("d", (1000, 560))]


def on_ice(v, clip, mark):
    f, c, off, k1, _, turns = unpack(v)
    d = (np.array(mark) - MIDDLE - LOOSE * off) / f
    p = d.copy()
    for _ in range(200):
        p = d / (1 + k1 * (p**2).sum())
    r = (Rotation.from_rotvec(turns[clips.index(clip)]).as_matrix() @ BASE).T @ np.array([*p, 1])
    return (c - r * c[2] / r[2])[:2]


def places_of(v):
    return np.concatenate([on_ice(v, clip, mark) for clip, mark in POINTS])


def turned(v):
    f, _, off, _, _, turns = unpack(v)
    return background(f, turns[0], turns[2], MIDDLE + LOOSE * off) * [1, 1, 180 / np.pi]


def slopes(of):
    return np.array([(of(fit.x + h) - of(fit.x - h)) / 2e-6 for h in 1e-6 * np.eye(len(fit.x))]).T


spread = slopes(places_of) @ covariance @ slopes(places_of).T
print(json.dumps({
    "clips": [{"trial": clip, "points": [{"label": n, "x": PLACES[n][0], "y": PLACES[n][1], "xPx": m[0], "yPx": m[1]} for n, m in own.items()],
               "like": None if clip not in LIKE else {"trial": LIKE[clip][0], "uPx": LIKE[clip][1], "dxPx": likes[clip][0], "dyPx": likes[clip][1],
                                                      "turnDeg": round(float(np.degrees(likes[clip][2])), 6)}} for clip, own in marks.items()],
    "tape": TAPE, "focal": f, "centre": c.tolist(), "k1": k1, "sdFocal": float(1000 * np.sqrt(covariance[0, 0])), "sdK1": float(np.sqrt(covariance[6, 6])),
    "marks": [{"trial": clip, "xPx": m[0], "yPx": m[1]} for clip, m in POINTS],
    "ice": places_of(fit.x).tolist(), "covariance": spread.tolist(),
    "turned": turned(fit.x).tolist(), "sdTurned": np.sqrt(np.diag(slopes(turned) @ covariance @ slopes(turned).T)).tolist(),
}, indent=1))
