#!/usr/bin/env python3
"""How like a sky a folder of holes is, measured without any of the product's code (numpy and scipy alone).

Reads holes.csv as `velarium plan` writes it and usable.json, the usable area of each tile as rings of
millimetres ({"A1": [[[x, y], ...], ...], ...}, even-odd), and prints one line of JSON:

  edge       real holes within 2 mm of a usable edge, times the share of the usable area that lies so near; and the
             counting noise of that (one standard deviation of as many chance points, Poisson)
  rows       straight edges of 200 mm and more with three or more holes within 0.5 mm; and chance's mean of it
  neighbour  mean distance to the nearest hole over that of chance points, as many in the same tiles with the
             same smallest distance (the ratio of Clark & Evans, Ecology 35, 1954, against a simulated chance
             field instead of 0.5 per root density, so that edges and the smallest distance cancel)
  move, bright   mean move of real holes; of those to V 3
  straight   mean way of those to V 3 from their true places to the nearest usable point: the least that any
             way of settling can move them
  ten        of the ten brightest stars with a hole, how many are among the ceiling's ten brightest holes; ties by chance
  ofSky      the same of the ten brightest of this ceiling's sky, those in lost.csv (under plain tiles, say) included
"""
import csv, json, sys
import numpy as np
from scipy.spatial import cKDTree

SIMULATIONS = 6


def segments(rings):
    a = np.vstack([np.array(r, float) for r in rings])
    b = np.vstack([np.roll(np.array(r, float), -1, axis=0) for r in rings])
    return a, b


def inside(p, a, b):
    x, y = p[:, :1], p[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = (a[:, 1] > y) != (b[:, 1] > y)
        at = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) / (b[:, 1] - a[:, 1]) + a[:, 0]
    return (cross & (x < at)).sum(axis=1) % 2 == 1


def to_segments(p, a, b):
    d = b - a
    t = ((p[:, None, :] - a) * d).sum(2) / np.maximum((d * d).sum(1), 1e-12)
    foot = a + np.clip(t, 0, 1)[..., None] * d
    return np.sqrt(((p[:, None, :] - foot) ** 2).sum(2))


def scatter(rng, edges, count, within_mm=None):
    """`count` points by chance in a tile; within_mm: (near share only) how many of them lie near an edge."""
    a, b = edges
    low, high = a.min(0), a.max(0)
    out = np.empty((0, 2))
    while len(out) < count:
        p = rng.uniform(low, high, (4 * count + 40, 2))
        out = np.vstack([out, p[inside(p, a, b)]])
    return out[:count]


def rows_of(points, edges):
    found = total = 0
    for tile, (a, b) in edges.items():
        long = np.hypot(*(b - a).T) >= 200
        total += long.sum()
        if tile in points and long.any():
            near = to_segments(points[tile], a[long], b[long]) < 0.5
            found += (near.sum(axis=0) >= 3).sum()
    return int(found), int(total)


def chance_field(rng, counts, edges, least):
    kept = {}
    everything = np.empty((0, 2))
    for tile, n in counts.items():
        mine = []
        tree = cKDTree(everything) if len(everything) else None
        while len(mine) < n:
            for p in scatter(rng, edges[tile], n):
                if len(mine) == n:
                    break
                if mine and np.min(np.hypot(*(np.array(mine) - p).T)) < least:
                    continue
                if tree is not None and tree.query(p)[0] < least:
                    continue
                mine.append(p)
        kept[tile] = np.array(mine)
        everything = np.vstack([everything, kept[tile]])
    return kept


def mean_nearest(points):
    return cKDTree(points).query(points, k=2)[0][:, 1].mean()


def leading(rows, n, lost=()):
    """Expected number of the n brightest stars among the n brightest holes, ties shared by chance."""
    stars = [r for r in rows if r["kind"] != "filler"] + [r for r in lost if r["reason"] != "merged"]
    want = set(id(r) for r in sorted(stars, key=lambda r: float(r["magnitude"]))[:n])
    light = lambda r: float(r["diameter_mm"]) ** 2 * float(r.get("strands") or 1)
    order = sorted(rows, key=light, reverse=True)
    edge = light(order[n - 1])
    sure = [r for r in order if light(r) > edge + 1e-9]
    tied = [r for r in order if abs(light(r) - edge) <= 1e-9]
    share = (n - len(sure)) / len(tied)
    return sum(id(r) in want for r in sure) + share * sum(id(r) in want for r in tied)


def main(folder, least):
    rng = np.random.default_rng(1954)
    table = lambda name: list(csv.DictReader(open(f"{folder}/{name}", encoding="utf-8-sig")))
    rows, lost = table("holes.csv"), table("lost.csv")
    usable = json.load(open(f"{folder}/usable.json"))
    edges = {tile: segments(rings) for tile, rings in usable.items()}
    place = lambda r: (float(r["x_mm"]), float(r["y_mm"]))
    real = [r for r in rows if r["kind"] != "filler"]
    by_tile = {}
    for r in rows:
        by_tile.setdefault(r["tile"], []).append(place(r))
    by_tile = {t: np.array(p) for t, p in by_tile.items()}

    near = sum(to_segments(np.array([place(r)]), *edges[r["tile"]]).min() < 2 for r in real)
    strip = area = 0.0
    for a, b in edges.values():
        p = scatter(rng, (a, b), 4000)
        mine = abs(sum(a[:, 0] * b[:, 1] - b[:, 0] * a[:, 1])) / 2
        strip += mine * (to_segments(p, a, b).min(axis=1) < 2).mean()
        area += mine

    fields = [chance_field(rng, {t: len(p) for t, p in by_tile.items()}, edges, least) for _ in range(SIMULATIONS)]
    everything = np.array([place(r) for r in rows])
    chance = np.mean([mean_nearest(np.vstack(list(f.values()))) for f in fields])
    found, total = rows_of(by_tile, edges)
    own = [r for r in real if r["true_x_mm"]]
    move = np.array([np.hypot(float(r["x_mm"]) - float(r["true_x_mm"]), float(r["y_mm"]) - float(r["true_y_mm"])) for r in own])
    bright = np.array([float(r["magnitude"]) <= 3 for r in own])
    truth = np.array([(float(r["true_x_mm"]), float(r["true_y_mm"])) for r in own])[bright]
    everywhere = [np.vstack(parts) for parts in zip(*edges.values())]
    hidden = ~np.any([inside(truth, a, b) for a, b in edges.values()], axis=0)
    straight = np.where(hidden, to_segments(truth, *everywhere).min(axis=1), 0)
    print(json.dumps({
        "holes": len(rows),
        "edge": round(near / len(real) / (strip / area), 2),
        "edgeNoise": round(float(1 / np.sqrt(len(real) * strip / area)), 2),
        "rows": found,
        "edges": total,
        "chanceRows": round(float(np.mean([rows_of(f, edges)[0] for f in fields])), 2),
        "neighbour": round(mean_nearest(everything) / chance, 3),
        "move": round(float(move.mean()), 2),
        "bright": round(float(move[bright].mean()), 2) if bright.any() else None,
        "straight": round(float(straight.mean()), 2) if bright.any() else None,
        "ten": round(leading(rows, 10), 2),
        "ofSky": round(leading(rows, 10, lost), 2),
    }))


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]))
