#!/usr/bin/env python3
"""A plain constant-velocity Kalman filter and Rauch-Tung-Striebel smoother in NumPy, over a whole recording in one piece, beside
ours: its time a fix, and how far the two answers lie apart.

    rts_numpy.py SMOOTH_FILE RECORDING.igc

One filter of six states (north, east, up and their rates), matrices written as in the textbooks (Bar-Shalom, Li, Kirubarajan 2001,
sec. 5.2 and 8.6). Positions stay in degrees and motions in metres, by the radii of curvature of WGS 84 at the predicted latitude.
"""
import subprocess
import sys
import time

import numpy as np

R = np.diag([25.0, 25.0, 4.0])  # as in smooth_file.cpp
Q = np.array([50.0, 50.0, 5.0])
A, E2 = 6378137.0, 6.69437999014e-3  # WGS 84 (NIMA TR8350.2)


def metres_per_degree(latitude):
    s2 = np.sin(np.radians(latitude)) ** 2
    w2 = 1 - E2 * s2
    return np.radians(1) * A * (1 - E2) / w2**1.5, np.radians(1) * A * np.cos(np.radians(latitude)) / np.sqrt(w2)


def model(dt):
    f = np.eye(6)
    f[[0, 1, 2], [3, 4, 5]] = dt
    q = np.zeros((6, 6))
    for k in range(3):
        q[k, k], q[k, k + 3], q[k + 3, k], q[k + 3, k + 3] = Q[k] * dt**3 / 3, Q[k] * dt**2 / 2, Q[k] * dt**2 / 2, Q[k] * dt
    return f, q


def smoothed(t, z):
    """z: latitude, longitude [degrees], height [m]. The same, smoothed."""
    n = len(t)
    place, rate, cov = np.empty((n, 3)), np.empty((n, 3)), np.empty((n, 6, 6))
    h = np.hstack([np.eye(3), np.zeros((3, 3))])
    place[0], rate[0] = z[0], 0
    cov[0] = np.diag([25, 25, 4, 1600, 1600, 100.0])
    models = {}
    scale = np.ones((n, 3))
    for i in range(1, n):
        dt = t[i] - t[i - 1]
        f, q = models.setdefault(dt, model(dt))
        scale[i - 1, :2] = metres_per_degree(place[i - 1, 0])
        m = scale[i - 1]
        ahead = place[i - 1] + rate[i - 1] * dt / m
        p = f @ cov[i - 1] @ f.T + q
        k = p @ h.T @ np.linalg.inv(h @ p @ h.T + R)
        step = k @ ((z[i] - ahead) * m)
        place[i], rate[i] = ahead + step[:3] / m, rate[i - 1] + step[3:]
        cov[i] = p - k @ h @ p
    for i in range(n - 2, -1, -1):
        f, q = models[t[i + 1] - t[i]]
        p = f @ cov[i] @ f.T + q
        c = cov[i] @ f.T @ np.linalg.inv(p)
        m = scale[i]
        step = c @ np.concatenate([(place[i + 1] - place[i]) * m - rate[i] * (t[i + 1] - t[i]), rate[i + 1] - rate[i]])
        place[i] += step[:3] / m
        rate[i] += step[3:]
        cov[i] += c @ (cov[i + 1] - p) @ c.T
    return place


def main(program, recording):
    done = subprocess.run([program, recording, "41"], capture_output=True, check=True)
    best, middle, doubted = done.stderr.split()
    rows = np.frombuffer(done.stdout).reshape(-1, 7)
    taken = []
    for _ in range(3):
        begin = time.process_time()
        answer = smoothed(rows[:, 0], rows[:, 1:4])
        taken.append((time.process_time() - begin) / len(rows) * 1e9)
    north, east = metres_per_degree(rows[:, 1])
    apart = np.abs(answer - rows[:, 4:7])
    print(f"  fixes {len(rows)}, given less weight {int(doubted)}")
    print(f"  ours   minimum {float(best):10.1f} ns a fix   median {float(middle):10.1f}")
    print(f"  NumPy  minimum {min(taken):10.1f} ns a fix   median {sorted(taken)[1]:10.1f}")
    print(f"  NumPy / ours: {min(taken) / float(best):.0f} of the minima; wanted 500 or more")
    print(f"  farthest apart: north {np.max(apart[:, 0] * north):.1e} m, east {np.max(apart[:, 1] * east):.1e} m, "
          f"height {np.max(apart[:, 2]):.1e} m; wanted 1e-6 or less\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
