"""Numbers for tests/external/geometryOpenCv.test.ts and geometryJointFit.test.ts.

Debian 12: apt-get install python3-opencv python3-scipy; /usr/bin/python3 tests/reference/geometry.py > tests/reference/geometry.json
Made with OpenCV 4.6.0, SciPy 1.10.1, NumPy 1.24.2; jointFit's pans and zooms with SciPy 1.17.1, which gives bent as before.
"""
import json

import cv2
import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

K = np.array([[1800.0, 0, 960], [0, 1800, 540], [0, 0, 1]])
RVEC = np.array([1.831552652343, -0.124303394869, 0.095171836893])
TVEC = np.array([-0.720603758578, 0.552201793258, 20.956521739130])
PLACES = np.array([[-7.14, 7], [-5.49, 7], [0, 0], [5.49, 7], [7.14, 7], [-5.49, -7], [5.49, -7], [0, 4.5], [0, -4.5], [0, 7]])


def on_ice(places):
    return np.column_stack([places, np.zeros(len(places))])


def through_lens():
    """cv2.projectPoints with k1, k2, on the ice and above it; the inverse by cv2.undistortPointsIter."""
    lens = np.array([-0.12, 0.03, 0, 0, 0])
    places = np.vstack([on_ice(PLACES), [[0.5, 1, 0.95], [3, -2, 1.5]]])
    seen = cv2.projectPoints(places, RVEC, TVEC, K, lens)[0].reshape(-1, 2)
    criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 200, 1e-14)
    marks = np.array([[30.0, 25], [1890, 40], [960, 540], [1500, 1050], [400, 700]])
    straight = cv2.undistortPointsIter(marks.reshape(-1, 1, 2), K, lens, None, K, criteria).reshape(-1, 2)
    return {"k1": -0.12, "k2": 0.03, "places": places.tolist(), "seen": seen.tolist(), "marks": marks.tolist(), "straight": straight.tolist()}


def one_view(find):
    """cv2.calibrateCamera on one view of the ice: focal length, pose, k1 (and k2), centre fixed, square pixels."""
    rng = np.random.default_rng(42)
    places = np.array([[x, y] for x in (-7.5, -4, 0, 4, 7.5) for y in (-5.0, -1, 3, 8)])
    lens = np.array([-0.2, 0.08 if find == 2 else 0, 0, 0, 0])
    seen = cv2.projectPoints(on_ice(places), RVEC, TVEC, K, lens)[0].reshape(-1, 2)
    seen = np.round(seen + rng.normal(0, 0.5, seen.shape), 3)
    flags = cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT | cv2.CALIB_FIX_ASPECT_RATIO
    flags |= cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K3 | (cv2.CALIB_FIX_K2 if find == 1 else 0)
    criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 500, 1e-15)
    guess = np.array([[1700.0, 0, 960], [0, 1700, 540], [0, 0, 1]])
    # calibrateCamera takes 32-bit points, and three decimals of a pixel fit into them to 1e-4 px.
    rms, matrix, found, rvecs, tvecs, sds, _, _ = cv2.calibrateCameraExtended(
        [on_ice(places).astype(np.float32)], [seen.astype(np.float32)], (1920, 1080), guess, np.zeros(5), flags=flags, criteria=criteria)
    rotation = cv2.Rodrigues(rvecs[0])[0]
    parameters = 1 + find + 6
    return {
        "places": places.tolist(), "seen": seen.tolist(), "rms": rms, "focal": matrix[0, 0],
        "k1": found.ravel()[0], "k2": found.ravel()[1], "centre": (-rotation.T @ tvecs[0]).ravel().tolist(),
        # With a fixed aspect ratio the focal length found is the second. calibrateCamera 4.6 scales its standard
        # deviations by the residuals, with points (not coordinates) less parameters; undone here, for 1 px marks.
        "sdFocal": sds.ravel()[1] / np.sqrt(rms**2 * len(places) / (len(places) - parameters)),
        "sdK1": sds.ravel()[4] / np.sqrt(rms**2 * len(places) / (len(places) - parameters)),
    }


def looking(centre, aim):
    forward = np.array([*aim, 0]) - centre
    forward /= np.linalg.norm(forward)
    right = np.cross(forward, [0, 0, 1.0])
    right /= np.linalg.norm(right)
    return np.vstack([right, np.cross(forward, right), forward])


def joint_fit(zooms, k1):
    """scipy.optimize.least_squares over all frames of a panning (and zooming) camera; covariance (J'J)^-1 for 1 px marks.

    The principal point is found too, expected in the picture's middle give or take 2 % of its width (docs/precision.md). So is k1; where the
    points were not bent and don't show one it is expected to be 0 give or take 0.15.
    """
    rng = np.random.default_rng(7)
    centre = np.array([18.0, -9, 3])
    frames = []
    for i, (ax, count) in enumerate([(12, 8), (15, 2), (18, 8), (20, 3), (22, 8), (24, 2)]):
        focal = 2600.0 * (1 + (0.05 * i if zooms else 0))
        base = looking(centre, [ax, 0.2])
        roll = Rotation.from_rotvec([0, 0, 0.002 * i]).as_matrix()
        rotation = roll @ base
        xs = [ax - 1.5, ax + 1.5] if count < 8 else [ax - 2.2, ax - 0.8, ax + 0.9, ax + 2.3]
        places = np.array([[x, y] for x in xs for y in (-1.5, 1.5)])[: count] if count != 2 else np.array([[xs[0], -1.5], [xs[1], 1.5]])
        camera = (on_ice(places) - centre) @ rotation.T
        p = camera[:, :2] / camera[:, 2:]
        p = p * (1 + k1 * (p**2).sum(1, keepdims=True))
        seen = np.round(focal * p + [959.5, 539.5] + rng.normal(0, 1, p.shape), 3)
        frames.append({"frame": 10 * i, "places": places, "seen": seen, "rotation": rotation, "focal": focal})
    n_f = len(frames) if zooms else 1
    n_k, ordinary = 1, 0.15

    middle, loose = np.array([959.5, 539.5]), 0.02 * 1920

    def unpack(v):
        return v[:n_f] * 1000, v[n_f : n_f + 3], v[n_f + 3 : n_f + 3 + n_k], v[n_f + 3 + n_k : -2].reshape(-1, 3), middle + loose * v[-2:]

    def residuals(v):
        f, c, k, turns, centre_px = unpack(v)
        out = [v[-2:], [] if k1 else k / ordinary]
        for i, fr in enumerate(frames):
            r = Rotation.from_rotvec(turns[i]).as_matrix() @ fr["rotation"]
            camera = (on_ice(fr["places"]) - c) @ r.T
            p = camera[:, :2] / camera[:, 2:]
            p = p * (1 + k[0] * (p**2).sum(1, keepdims=True))
            out.append((f[i if zooms else 0] * p + centre_px - fr["seen"]).ravel())
        return np.concatenate(out)

    start = np.concatenate([[fr["focal"] / 1000 for fr in frames][:n_f], centre, [k1] * n_k, np.zeros(3 * len(frames) + 2)])
    fit = least_squares(residuals, start, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    covariance = np.linalg.inv(fit.jac.T @ fit.jac)
    f, c, k, turns, _ = unpack(fit.x)

    def ice(v, i, u, w):
        f, c, k, turns, centre_px = unpack(v)
        fi = f[i if zooms else 0]
        d = (np.array([u, w]) - centre_px) / fi
        p = d.copy()
        for _ in range(200):
            p = d / (1 + k[0] * (p**2).sum())
        r = (Rotation.from_rotvec(turns[i]).as_matrix() @ frames[i]["rotation"]).T @ np.array([*p, 1])
        return (c - r * c[2] / r[2])[:2]

    def place(v):
        return np.concatenate([ice(v, 1, 700, 640), ice(v, 4, 1200, 500)])

    jacobian = np.array([(place(fit.x + h) - place(fit.x - h)) / 2e-6 for h in 1e-6 * np.eye(len(fit.x))]).T
    spread = jacobian @ covariance @ jacobian.T
    return {
        "frames": [{"frame": fr["frame"], "places": fr["places"].tolist(), "seen": fr["seen"].tolist()} for fr in frames],
        "sumOfSquares": float((residuals(fit.x)[2 if k1 else 3 :] ** 2).sum()), "focals": f.tolist(), "centre": c.tolist(), "k1": k[0] if k1 else None,
        "sdK1": float(np.sqrt(covariance[n_f + 3, n_f + 3])) if k1 else None,
        "sdFocal": float(1000 * np.sqrt(covariance[0, 0])),
        # Marks (700, 640) on the second frame and (1200, 500) on the fifth, marks themselves exact: x, y, x, y.
        "ice": place(fit.x).tolist(), "covariance": spread.tolist(),
    }


print(json.dumps({
    "throughLens": through_lens(),
    "oneView": {"k1": one_view(1), "k1k2": one_view(2)},
    "jointFit": {"pans": joint_fit(False, 0), "zooms": joint_fit(True, 0), "bent": joint_fit(False, -0.15)},
}, indent=1))
