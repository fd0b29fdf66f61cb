"""Reference values for the dark test by photograph, from numpy and scipy (Debian's python3-numpy, python3-scipy).

python3 scripts/authorities/photo.py > tests/authorities/photo-scipy.json
"""
import json
import numpy as np
import scipy
from scipy import ndimage, optimize, stats

rng = np.random.default_rng(20261126)

# 1. Homography through pairs: direct linear transform by numpy's SVD (Hartley and Zisserman, algorithm 4.1).
H = np.array([[820.0, -130.0, 1900.0], [95.0, 700.0, 1400.0], [0.11, -0.07, 1.0]])


def through(h, p):
    q = np.c_[p, np.ones(len(p))] @ h.T
    return q[:, :2] / q[:, 2:]


def dlt(p, q):
    rows = []
    for (x, y), (u, v) in zip(p, q):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    h = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    return h / h[2, 2]


four = np.array([[-1.0, -1.0], [1.2, -0.9], [1.0, 1.1], [-1.1, 0.8]])
seen = through(H, four)
probe = rng.uniform(-1, 1, (12, 2))
homography = {"plan": four.tolist(), "picture": seen.tolist(), "probe": probe.tolist(),
              "expected": through(dlt(four, seen), probe).tolist()}

# 2. Homography with radial distortion, least squares over noisy pairs by scipy.optimize.least_squares.
W, HT = 4000, 3000
half = np.hypot(W, HT) / 2


def project(p, xy):
    h = np.append(p[:8], 1).reshape(3, 3)
    n = through(h, xy)
    r2 = (n ** 2).sum(1, keepdims=True)
    n = n * (1 + p[8] * r2 + p[9] * r2 ** 2)
    return n * half + np.array([W / 2, HT / 2])


truth = np.array([0.62, -0.18, 0.05, 0.2, 0.58, -0.03, 0.15, -0.1, -0.12, 0.02])
xy = rng.uniform(-1, 1, (150, 2))
uv = project(truth, xy) + rng.normal(0, 0.4, (150, 2))
found = optimize.least_squares(lambda p: (project(p, xy) - uv).ravel(), truth * 0.9, x_scale="jac", xtol=1e-15, ftol=1e-15)
probe2 = rng.uniform(-0.9, 0.9, (20, 2))
lens = {"width": W, "height": HT, "plan": xy.tolist(), "picture": uv.tolist(), "probe": probe2.tolist(),
        "expected": project(found.x, probe2).tolist(), "k1": found.x[8], "k2": found.x[9]}

# 3. Centres of light: scipy.ndimage.center_of_mass over what stands above the background, spot by spot.
size = 96
y, x = np.mgrid[0:size, 0:size] + 0.5
image = np.full((size, size), 0.01)
spots = []
for gy in range(4):
    for gx in range(4):
        cx, cy = 12 + 24 * gx + rng.uniform(-2, 2), 12 + 24 * gy + rng.uniform(-2, 2)
        sigma = rng.uniform(1.1, 2.2)
        image += rng.uniform(0.15, 0.6) * np.exp(-((x - cx) ** 2 + (y - cy) ** 2) / 2 / sigma ** 2)
        spots.append((cx, cy))
image += rng.normal(0, 0.0004, image.shape)
levels = np.round(np.clip(image, 0, 1) * 4095).astype(int)
linear = levels / 4095 - 0.01
labels, n = ndimage.label(linear > 0.006)
assert n == 16
# ndimage counts pixel middles from 0, here they are at a half
centres = [(c + 0.5, r + 0.5) for r, c in ndimage.center_of_mass(linear, labels, range(1, n + 1))]
centroids = {"size": size, "white": 4095, "levels": levels.ravel().tolist(), "centres": centres}

# 4. Odds: the binomial distribution's upper tail by scipy.stats.
odds = [{"n": n, "k": k, "p": p, "log10": float(stats.binom.logsf(k - 1, n, p) / np.log(10))}
        for n, k, p in [(10, 3, 0.2), (14, 9, 0.1), (300, 25, 0.03), (300, 200, 0.02), (1680, 60, 0.01), (50, 50, 0.5)]]

print(json.dumps({"about": "scripts/authorities/photo.py", "numpy": np.__version__, "scipy": scipy.__version__,
                  "homography": homography, "lens": lens, "centroids": centroids, "odds": odds}))
