# Normalised cross-correlation of a template over a picture by OpenCV (TM_CCOEFF_NORMED), for tests/suggest/matchTemplate.test.ts.
# Debian's python3-opencv: /usr/bin/python3 tests/reference/templates.py > tests/reference/templates.json
import json

import cv2
import numpy as np

rng = np.random.default_rng(20261128)
cases = []
for width, height, w, h in [(40, 30, 9, 7), (33, 41, 12, 5), (25, 25, 6, 11)]:
    rough = rng.uniform(0, 255, (height // 4 + 2, width // 4 + 2)).astype(np.float32)
    picture = np.round(cv2.resize(rough, (width, height), interpolation=cv2.INTER_CUBIC)).clip(0, 255).astype(np.uint8)
    x, y = int(rng.integers(3, width - w - 3)), int(rng.integers(3, height - h - 3))
    noisy = picture[y : y + h, x : x + w].astype(float) * 0.7 + 20 + rng.normal(0, 12, (h, w))
    template = np.round(noisy).clip(0, 255).astype(np.uint8)
    scores = cv2.matchTemplate(picture, template, cv2.TM_CCOEFF_NORMED)
    _, best, _, (column, row) = cv2.minMaxLoc(scores)
    cases.append(
        {
            "width": width,
            "height": height,
            "picture": picture.flatten().tolist(),
            "template": {"width": w, "height": h, "values": template.flatten().tolist()},
            "best": {"column": column, "row": row, "score": round(float(best), 6)},
        }
    )
print(json.dumps({"made_by": f"OpenCV {cv2.__version__}", "cases": cases}))
