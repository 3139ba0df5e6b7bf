"""Corners of a 9 x 6 chessboard on 26 photographs by two real cameras, and fits to them, for tests/external/boardPhotographs.test.ts.

The photographs are OpenCV's own calibration pictures (left01 .. left14, right01 .. right14, without number 10; 640 x 480;
licence Apache-2.0, copyright Intel Corporation and the OpenCV contributors). Only where their corners are is kept here.

Debian 12: apt-get install python3-opencv python3-scipy opencv-doc; /usr/bin/python3 tests/reference/boards.py > tests/reference/boards.json
Made with OpenCV 4.6.0, SciPy 1.10.1, NumPy 1.24.2.
"""
import json

import cv2
import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

PICTURES = "/usr/share/doc/opencv-doc/examples/data/"
COLUMNS, ROWS = 9, 6


def corners(name):
    """Row by row, nine in a row, so that the board's second axis is left of the first one as seen from the camera's side."""
    grey = cv2.imread(f"{PICTURES}{name}.jpg", cv2.IMREAD_GRAYSCALE)
    assert grey.shape == (480, 640)
    found, at = cv2.findChessboardCorners(grey, (COLUMNS, ROWS))
    assert found
    criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 100, 1e-4)
    at = cv2.cornerSubPix(grey, at, (5, 5), (-1, -1), criteria).reshape(ROWS, COLUMNS, 2)
    along, across = at[0, -1] - at[0, 0], at[-1, 0] - at[0, 0]
    # The picture's y runs down, so what is left of "along" has a negative cross product there.
    if along[0] * across[1] - along[1] * across[0] > 0:
        at = at[::-1]
    return np.round(at.reshape(-1, 2).astype(float), 3).ravel().tolist()


def principal_points(boards):
    """Of both cameras, by cv2.calibrateCamera on all thirteen photographs of each: cx - (width - 1) / 2, cy - (height - 1) / 2."""
    places = np.array([[k % COLUMNS, k // COLUMNS, 0] for k in range(COLUMNS * ROWS)], np.float32)
    found = {}
    for side in ("left", "right"):
        seen = [np.array(b["corners"], np.float32).reshape(-1, 2) for b in boards if b["name"].startswith(side)]
        _, matrix, lens, _, _ = cv2.calibrateCamera([places] * len(seen), seen, (640, 480), None, None)
        found[side] = {"focal": matrix[0, 0], "aspect": matrix[1, 1] / matrix[0, 0], "k1": lens[0, 0], "offCentre": [matrix[0, 2] - 319.5, matrix[1, 2] - 239.5]}
    return found


def joint_fit(board, ice):
    """SciPy: focal length, pose, k1 and principal point from the corners `ice`, 0.4 px each, the principal point known to 2 % of 640 px."""
    at = np.array(board["corners"]).reshape(-1, 2)[ice]
    places = np.array([[0.3 * (k % COLUMNS), 0.3 * (k // COLUMNS), 0] for k in ice])
    pose = cv2.solvePnP(places, at, np.array([[535.0, 0, 319.5], [0, 535, 239.5], [0, 0, 1]]), np.array([-0.28, 0, 0, 0, 0]))

    def residuals(p):
        """Log focal length / 535, turn, shift, principal point / 10 px, k1."""
        seen = Rotation.from_rotvec(p[1:4]).apply(places) + p[4:7]
        x = seen[:, :2] / seen[:, 2:]
        off = 535 * np.exp(p[0]) * x * (1 + p[9] * (x**2).sum(1))[:, None] + [319.5, 239.5] + 10 * p[7:9] - at
        return np.concatenate([off.ravel() / 0.4, 10 * p[7:9] / 12.8])

    start = np.concatenate([[0], pose[1].ravel(), pose[2].ravel(), [0, 0, -0.28]])
    fit = least_squares(residuals, start, method="lm", x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    sds = np.sqrt(np.diag(np.linalg.inv(fit.jac.T @ fit.jac)))
    p = fit.x
    centre = -Rotation.from_rotvec(p[1:4]).inv().apply(p[4:7])
    # The board's second axis is left of its first as the camera sees it, so the third points at the camera.
    return {
        "name": board["name"], "ice": ice, "chiSquare": 2 * fit.cost, "focal": 535 * np.exp(p[0]), "sdLogFocal": sds[0],
        "k1": p[9], "sdK1": sds[9], "offCentre": (10 * p[7:9]).tolist(), "centre": centre.tolist(),
    }


ICE = [0, 4, 8, 11, 20, 24, 33, 38, 45, 53]
names = [f"{side}{k:02d}" for side in ("left", "right") for k in range(1, 15) if k != 10]
boards = [{"name": name, "corners": corners(name)} for name in names]
fits = [json.dumps(joint_fit(b, ICE)) for b in boards if b["name"] in ("left03", "left05", "left08", "right02", "right12")]
print('{ "columns": 9, "rows": 6, "width": 640, "height": 480,\n"cameras": ' + json.dumps(principal_points(boards)) + ', "fits": [')
print(",\n".join(fits) + '\n], "boards": [\n' + ",\n".join(map(json.dumps, boards)) + "\n] }")
