"""A session as people work it out by hand, with the usual packages: distance, smoothed speed, sprints, high-speed runs.

usual.py RECORDING.gpx ROW.csv [PICTURES], a folder for two pictures.
"""

import csv
import sys
from pathlib import Path

import gpxpy
import numpy as np
from scipy.signal import savgol_filter

EARTH_M = 6_371_008.8
SPRINT_M_S, HIGH_SPEED_M_S = 7.0, 5.5
LASTING_S, BRIDGE_S = 1.0, 0.5


def read(path):
    with open(path, encoding="utf-8") as file:
        gpx = gpxpy.parse(file)
    points = [p for track in gpx.tracks for segment in track.segments for p in segment.points]
    first = points[0].time
    time_s = np.array([(p.time - first).total_seconds() for p in points])
    return time_s, np.array([p.latitude for p in points]), np.array([p.longitude for p in points])


def steps_m(latitude, longitude):
    phi, lam = np.radians(latitude), np.radians(longitude)
    h = np.sin(np.diff(phi) / 2) ** 2 + np.cos(phi[:-1]) * np.cos(phi[1:]) * np.sin(np.diff(lam) / 2) ** 2
    return 2 * EARTH_M * np.arcsin(np.sqrt(h))


def speed_m_s(time_s, steps):
    """Over a second, by a parabola."""
    raw = np.append(steps / np.diff(time_s), 0.0)
    samples = round(1 / np.median(np.diff(time_s))) // 2 * 2 + 1
    return savgol_filter(raw, max(samples, 3), 2)


def runs(time_s, speed, threshold):
    """(start, end) in s of what stays at or above the threshold long enough, short dips bridged."""
    high = np.concatenate([[False], speed >= threshold, [False]])
    edges = np.flatnonzero(np.diff(high.astype(int)))
    found = []
    for start, end in zip(time_s[edges[::2]], time_s[edges[1::2] - 1]):
        if found and start - found[-1][1] <= BRIDGE_S:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return [(start, end) for start, end in found if end - start >= LASTING_S]


def draw(folder, time_s, speed, latitude, longitude):
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    fig, ax = plt.subplots(figsize=(12, 6))
    ax.plot(time_s / 60, speed)
    ax.axhline(SPRINT_M_S, linestyle="--")
    ax.set(xlabel="minutes", ylabel="speed, m/s")
    fig.savefig(folder / "speed.png")
    plt.close(fig)

    fig, ax = plt.subplots(figsize=(12, 10))
    east = np.radians(longitude - longitude.mean()) * EARTH_M * np.cos(np.radians(latitude.mean()))
    north = np.radians(latitude - latitude.mean()) * EARTH_M
    *_, image = ax.hist2d(east, north, bins=100)
    fig.colorbar(image, label="fixes")
    ax.set(xlabel="east, m", ylabel="north, m", aspect="equal")
    fig.savefig(folder / "heatmap.png")
    plt.close(fig)


def main():
    path, row, *pictures = sys.argv[1:]
    time_s, latitude, longitude = read(path)
    steps = steps_m(latitude, longitude)
    speed = speed_m_s(time_s, steps)
    sprints, fast = runs(time_s, speed, SPRINT_M_S), runs(time_s, speed, HIGH_SPEED_M_S)
    with open(row, "w", newline="", encoding="utf-8") as file:
        out = csv.writer(file)
        out.writerow(["duration_s", "distance_m", "top_speed_m_s", "sprints", "sprint_s", "high_speed_runs"])
        sprint_s = sum(end - start for start, end in sprints)
        out.writerow([time_s[-1], steps.sum(), speed.max(), len(sprints), sprint_s, len(fast)])
    if pictures:
        draw(Path(pictures[0]), time_s, speed, latitude, longitude)


main()
