"""Runs repledger and its peers in turn and prints what each took, as tables for docs/speed.md and docs/wide.md.

compare.py REPLEDGER FOLDER TIMES, where FOLDER holds session.gpx; called by run, with the Python that the peers need.
"""

import csv
import json
import os
import shutil
import statistics
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).parent
# Values of these that are meant for another library make numpy slow.
WITHOUT = "OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE"
ENVIRONMENT = {name: value for name, value in os.environ.items() if name not in WITHOUT}


class Command:
    """What is run: its name in the table, its words, the command it is held against, and what each run took."""

    def __init__(self, name, *words, beside=None, threads=None):
        self.name, self.words, self.beside = name, [str(word) for word in words], beside
        self.environment = ENVIRONMENT | ({"RAYON_NUM_THREADS": str(threads)} if threads else {})
        self.wall_s, self.user_s, self.peak_mb = [], [], []

    def run(self):
        begun = time.perf_counter()
        child = subprocess.Popen(self.words, env=self.environment, stdout=subprocess.DEVNULL)
        _, status, used = os.wait4(child.pid, 0)
        wall_s = time.perf_counter() - begun
        if status != 0:
            sys.exit(f"failed: {' '.join(self.words)}")
        self.wall_s.append(wall_s)
        self.user_s.append(used.ru_utime)
        self.peak_mb.append(used.ru_maxrss * 1024 / 1e6)

    def row(self):
        wall_s = statistics.median(self.wall_s)
        ratio = ""
        if self.beside:
            other_s = statistics.median(self.beside.wall_s)
            faster = self.words == self.beside.words
            ratio = f"{other_s / wall_s:.1f} x as fast as one thread" if faster else f"{wall_s / other_s:.1f} x as long"
        return (
            f"| {self.name} | {wall_s:.3f} s ({min(self.wall_s):.3f}) | {min(self.user_s):.2f} s "
            f"| {max(self.peak_mb):.0f} MB | {ratio} |"
        )


def answers(repledger, session, folder):
    """Stops unless all found the same in the recording."""
    told = subprocess.run([repledger, "-q", "review", session, "--json"], stdout=subprocess.PIPE, check=True)
    review = json.loads(told.stdout)
    kinds = [effort["kind"] for effort in review["efforts"]]
    distance_m, sprints, runs = review["totals"]["distance_m"]["value"], kinds.count("sprint"), kinds.count("high_speed_run")
    print(f"repledger: {distance_m:.0f} m, {sprints} sprints, {runs} high-speed runs")
    for peer in "usual.py", "tuned.py":
        row = folder / "row.csv"
        subprocess.run([sys.executable, HERE / peer, session, row], env=ENVIRONMENT, check=True)
        with open(row, newline="", encoding="utf-8") as file:
            (found,) = csv.DictReader(file)
        print(f"{peer}: {float(found['distance_m']):.0f} m, {found['sprints']} sprints, {found['high_speed_runs']} high-speed runs")
        same_distance = abs(float(found["distance_m"]) - distance_m) < 0.01 * distance_m
        if not same_distance or (int(found["sprints"]), int(found["high_speed_runs"])) != (sprints, runs):
            sys.exit(f"{peer} and repledger disagree: there is nothing to compare")


def main():
    repledger, folder, times = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3])
    session, row, pictures, many = folder / "session.gpx", folder / "row.csv", folder / "pictures", folder / "many"
    pictures.mkdir()
    many.mkdir()
    for number in range(8):
        shutil.copy(session, many / f"{number}.gpx")
    answers(repledger, session, folder)

    def peer(script, name, beside, *words):
        return Command(name, sys.executable, HERE / script, session, row, *words, beside=beside)

    plain = Command("`repledger review`, no pictures", repledger, "-q", "review", session)
    drawn = Command("`repledger review --out`, all pictures", repledger, "-q", "review", session, "--out", folder / "out")
    one = Command("`repledger review` of 8, one thread", repledger, "-q", "review", many, threads=1)
    two = Command("`repledger review` of 8, two threads", repledger, "-q", "review", many, beside=one, threads=2)
    commands = [
        plain,
        peer("usual.py", "the usual script, no pictures", plain),
        peer("tuned.py", "the tuned script, no pictures", plain),
        drawn,
        peer("usual.py", "the usual script, two pictures", drawn, pictures),
        peer("tuned.py", "the tuned script, two pictures", drawn, pictures),
        one,
        two,
    ]
    for command in commands:
        command.run()  # so that files and fonts are where they will be the next time
    for command in commands:
        command.wall_s.clear(), command.user_s.clear(), command.peak_mb.clear()
    for _ in range(times):
        for command in commands:
            command.run()
    print(f"\n| {times} times in turn | wall, median (least) | user, least | peak memory | beside repledger |")
    print("| --- | --- | --- | --- | --- |")
    for command in commands:
        print(command.row())
    archives(repledger, session, folder)


def archives(repledger, session, folder):
    """Prints how many recordings of a kind are reviewed in an hour."""
    head, *points = session.read_text(encoding="utf-8").split("<trkpt ")
    points[-1], tail = points[-1].split("</trkseg>")
    print(f"\n| a folder of recordings, {os.cpu_count()} cores | an hour | peak memory |")
    print("| --- | --- | --- |")
    for minutes, rate_hz, copies in (5, 1, 400), (5, 10, 100), (90, 1, 60), (90, 10, 16):
        place = folder / f"{minutes} {rate_hz}"
        place.mkdir()
        kept = points[: minutes * 600 : 10 // rate_hz]
        text = "<trkpt ".join([head, *kept]) + "</trkseg>" + tail
        for number in range(copies):
            (place / f"{number}.gpx").write_text(text, encoding="utf-8")
        command = Command("", repledger, "-q", "review", place, "--json")
        for _ in range(3):
            command.run()
        an_hour = copies / statistics.median(command.wall_s) * 3600
        print(f"| {minutes} min at {rate_hz} Hz | {round(an_hour, -2):,.0f} | {max(command.peak_mb):.0f} MB |")


main()
