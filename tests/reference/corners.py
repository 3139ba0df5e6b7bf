# Corners of the chessboard photographs of Debian's opencv-doc to a part of a pixel by OpenCV (cornerSubPix), for
# tests/suggest/snapPoint.test.ts. Debian's python3-opencv: /usr/bin/python3 tests/reference/corners.py > tests/reference/corners.json
import json

import cv2
import numpy as np

WINDOW = 5
HALF = 14
rng = np.random.default_rng(20261129)
cases = []
for name in ["left01", "left03", "left06", "left09", "left12", "right02", "right07", "right13"]:
    grey = cv2.imread(f"/usr/share/doc/opencv-doc/examples/data/{name}.jpg", cv2.IMREAD_GRAYSCALE)
    found, corners = cv2.findChessboardCorners(grey, (9, 6))
    assert found, name
    for at in rng.choice(54, 3, replace=False):
        # Where somebody pressed, up to 2 px from it.
        start = (corners[at][0] + rng.uniform(-2, 2, 2)).astype(np.float32)
        end = cv2.cornerSubPix(
            grey,
            start.reshape(1, 1, 2).copy(),
            (WINDOW, WINDOW),
            (-1, -1),
            (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_MAX_ITER, 60, 1e-4),
        )[0][0]
        left, top = int(round(start[0])) - HALF, int(round(start[1])) - HALF
        side = 2 * HALF + 1
        part = grey[top : top + side, left : left + side]
        assert part.shape == (side, side)
        cases.append(
            {
                "picture": name,
                "left": left,
                "top": top,
                "side": side,
                "pixels": part.tobytes().hex(),
                "start": [round(float(v), 3) for v in start],
                "corner": [round(float(v), 4) for v in end],
            }
        )
print(json.dumps({"made_by": f"OpenCV {cv2.__version__}", "window": WINDOW, "cases": cases}, indent=1))
