"""The same session as in usual.py, written to be fast: expat reads, numpy alone counts, and matplotlib comes only for pictures.

tuned.py RECORDING.gpx ROW.csv [PICTURES], a folder for two pictures.
"""

import sys
from xml.parsers import expat

import numpy as np

EARTH_M = 6_371_008.8
SPRINT_M_S, HIGH_SPEED_M_S = 7.0, 5.5
LASTING_S, BRIDGE_S = 1.0, 0.5


def read(path):
    latitude, longitude, times = [], [], []
    parser = expat.ParserCreate()
    parser.buffer_text = True

    def start(name, attributes):
        if name == "trkpt":
            latitude.append(attributes["lat"])
            longitude.append(attributes["lon"])
        elif name == "time" and len(times) < len(latitude):
            # Text is only asked for where it is wanted: calls from C to Python are what this costs.
            parser.CharacterDataHandler = times.append
            parser.EndElementHandler = end

    def end(_):
        parser.CharacterDataHandler = parser.EndElementHandler = None

    parser.StartElementHandler = start
    with open(path, "rb") as file:
        parser.Parse(file.read(), True)
    moments = np.array([time.rstrip("Z") for time in times], dtype="datetime64[ms]")
    time_s = (moments - moments[0]).astype(float) / 1000
    return time_s, np.array(latitude, dtype=float), np.array(longitude, dtype=float)


def steps_m(latitude, longitude):
    phi, lam = np.radians(latitude), np.radians(longitude)
    cos = np.cos(phi)
    h = np.sin(np.diff(phi) / 2) ** 2 + cos[:-1] * cos[1:] * np.sin(np.diff(lam) / 2) ** 2
    return 2 * EARTH_M * np.arcsin(np.sqrt(h))


def speed_m_s(time_s, steps):
    """Over a second, by a parabola: Savitzky and Golay's weights for the middle of 2 m + 1 samples."""
    raw = np.append(steps / np.diff(time_s), 0.0)
    m = max(round(1 / np.median(np.diff(time_s))) // 2, 1)
    i = np.arange(-m, m + 1)
    weights = 3 * (3 * m * m + 3 * m - 1 - 5 * i * i) / ((2 * m - 1) * (2 * m + 1) * (2 * m + 3))
    return np.convolve(raw, weights, "same")


def runs(time_s, speed, threshold):
    """(start, end) in s of what stays at or above the threshold long enough, short dips bridged."""
    high = np.concatenate([[0], (speed >= threshold).view(np.int8), [0]])
    edges = np.flatnonzero(np.diff(high))
    start, end = time_s[edges[::2]], time_s[edges[1::2] - 1]
    apart = start[1:] - end[:-1] > BRIDGE_S
    start, end = start[np.append(True, apart)[: len(start)]], end[np.append(apart, True)[: len(end)]]
    long = end - start >= LASTING_S
    return start[long], end[long]


def draw(folder, time_s, speed, latitude, longitude):
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    fig = Figure(figsize=(12, 6))
    ax = fig.add_subplot()
    ax.plot(time_s / 60, speed)
    ax.axhline(SPRINT_M_S, linestyle="--")
    ax.set(xlabel="minutes", ylabel="speed, m/s")
    FigureCanvasAgg(fig).print_png(folder + "/speed.png")

    fig = Figure(figsize=(12, 10))
    ax = fig.add_subplot()
    middle = latitude.mean()
    east = np.radians(longitude - longitude.mean()) * EARTH_M * np.cos(np.radians(middle))
    north = np.radians(latitude - middle) * EARTH_M
    seen, east_m, north_m = np.histogram2d(east, north, bins=100)
    image = ax.imshow(seen.T, origin="lower", extent=(east_m[0], east_m[-1], north_m[0], north_m[-1]))
    fig.colorbar(image, label="fixes")
    ax.set(xlabel="east, m", ylabel="north, m")
    FigureCanvasAgg(fig).print_png(folder + "/heatmap.png")


def main():
    path, row, *pictures = sys.argv[1:]
    time_s, latitude, longitude = read(path)
    steps = steps_m(latitude, longitude)
    speed = speed_m_s(time_s, steps)
    start, end = runs(time_s, speed, SPRINT_M_S)
    fast, _ = runs(time_s, speed, HIGH_SPEED_M_S)
    with open(row, "w", encoding="utf-8") as out:
        out.write("duration_s,distance_m,top_speed_m_s,sprints,sprint_s,high_speed_runs\n")
        values = time_s[-1], steps.sum(), speed.max(), len(start), (end - start).sum(), len(fast)
        out.write(",".join(map(str, values)) + "\n")
    if pictures:
        draw(pictures[0], time_s, speed, latitude, longitude)


main()
