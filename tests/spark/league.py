"""Reviews a league's archive with Apache Spark on two executors, one of which is killed on the way, and with one plain run of
repledger, and holds the two to the same numbers.

league.py REPLEDGER LEAGUE, a folder that the example `league` made; called by run, with the Python that has pyspark. Linux only.
"""

import base64
import json
import os
import shlex
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections import defaultdict
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pyspark
from pyspark.sql import SparkSession

TASKS = 40

# What is wanted of a line of NDJSON. The numbers have three decimals; as decimals their sums are exact, whatever the order.
LINE = """
    name STRING,
    error STRING,
    review STRUCT<
        totals: STRUCT<
            distance_m: STRUCT<value: DECIMAL(12, 3)>,
            top_speed_m_s: STRUCT<value: DECIMAL(12, 3)>>,
        efforts: ARRAY<STRUCT<kind: STRING, start_s: DECIMAL(12, 3), distance_m: DECIMAL(12, 3)>>,
        plan: STRUCT<counts: STRUCT<done: INT>>>
"""

SESSIONS = f"""
    SELECT
        split(review.name, '/')[0] AS athlete,
        to_date(substr(split(review.name, '/')[1], 1, 10)) AS day,
        review.review.totals.distance_m.value AS distance_m,
        review.review.totals.top_speed_m_s.value AS top_speed_m_s,
        review.review.plan.counts.done AS reps_done,
        filter(review.review.efforts, e -> e.kind = 'sprint') AS sprints,
        review.error AS error,
        line
    FROM (SELECT value AS line, from_json(value, '{LINE}') AS review FROM lines)
"""

BY_WEEK = """
    SELECT
        athlete,
        CAST(date_trunc('week', day) AS DATE) AS week,
        count(distance_m) AS sessions,
        sum(size(sprints)) AS sprints,
        sum(aggregate(sprints, CAST(0 AS DECIMAL(22, 3)), (m, sprint) -> CAST(m + sprint.distance_m AS DECIMAL(22, 3)))) AS sprint_m,
        sum(distance_m) AS distance_m,
        max(top_speed_m_s) AS top_speed_m_s,
        sum(reps_done) AS reps_done
    FROM sessions
    WHERE error IS NULL
    GROUP BY athlete, week
    ORDER BY athlete, week
"""


def main():
    repledger, league = sys.argv[1], Path(sys.argv[2])
    command = [repledger, "-q", "review", "--ndjson", "--content-only", "--pitch", "off", "--plan", str(league / "league.plan")]
    recordings = league / "recordings"
    names = sorted(str(path.relative_to(recordings)) for path in recordings.glob("*/*"))

    begun = time.monotonic()
    single = one_machine(command, names, recordings)
    print(f"one machine: {len(single)} lines in {time.monotonic() - begun:.0f} s")

    begun = time.monotonic()
    lines, weeks = spark(command, recordings, league / "sessions.parquet")
    print(f"Spark: {len(lines)} lines in {time.monotonic() - begun:.0f} s")

    check(len(single) == len(names), "every name has its line")
    check(sorted(lines) == sorted(single), "Spark's lines are those of one machine, byte for byte")
    expected = by_week(single)
    check(weeks == expected, "sprints by athlete and week are exactly the same")
    print(f"same: {len(weeks)} weeks of athletes, {sum(week[3] for week in weeks)} sprints")


def check(holds, what):
    if not holds:
        sys.exit(f"failed: {what}")


def one_machine(command, names, folder):
    """A line an archived recording, from one run; the archive holds one that cannot be read, so that the status is 1."""
    text = "".join(f"{name}\t{base64.b64encode((folder / name).read_bytes()).decode()}\n" for name in names)
    told = subprocess.run(command, input=text.encode(), stdout=subprocess.PIPE)
    check(told.returncode == 1, f"the run ended with status {told.returncode}, not 1")
    return told.stdout.decode().splitlines()


def by_week(lines):
    """What BY_WEEK asks for, worked out line by line."""
    sums = defaultdict(lambda: [0, 0, Decimal(0), Decimal(0), Decimal(0), 0])
    for line in lines:
        told = json.loads(line, parse_float=Decimal)
        if told["error"] is not None:
            continue
        athlete, file = told["name"].split("/")
        day = date.fromisoformat(file[:10])
        review = told["review"]
        sprints = [effort for effort in review["efforts"] if effort["kind"] == "sprint"]
        of = sums[athlete, day - timedelta(days=day.weekday())]
        of[0] += 1
        of[1] += len(sprints)
        of[2] += sum(sprint["distance_m"] for sprint in sprints)
        of[3] += review["totals"]["distance_m"]["value"]
        of[4] = max(of[4], review["totals"]["top_speed_m_s"]["value"])
        of[5] += review["plan"]["counts"]["done"]
    return [(*key, *of) for key, of in sorted(sums.items())]


def spark(command, recordings, parquet):
    """The lines that Spark wrote into Parquet, and the weeks that it worked out from there."""
    home = Path(pyspark.__file__).parent
    os.environ |= {"SPARK_HOME": str(home), "SPARK_LOCAL_IP": "127.0.0.1", "PYSPARK_PYTHON": sys.executable}
    session = (
        # Two executors, each a process of its own with one core and 1024 MB.
        SparkSession.builder.master("local-cluster[2,1,1024]")
        .config("spark.ui.enabled", "false")
        .config("spark.ui.showConsoleProgress", "false")
        .config("spark.sql.session.timeZone", "UTC")
        .config("spark.sql.shuffle.partitions", "4")
        # Else small files count as 4 MB each and share a few tasks.
        .config("spark.files.openCostInBytes", "0")
        .getOrCreate()
    )
    context = session.sparkContext
    context.setLogLevel("OFF")

    def line(file):
        name = "/".join(file[0].split("/")[-2:])
        return f"{name}\t{base64.b64encode(file[1]).decode()}"

    files = context.binaryFiles(f"{recordings}/*/*", minPartitions=TASKS)
    lines = files.map(line).pipe(shlex.join(command))
    session.createDataFrame(lines, "STRING").createOrReplaceTempView("lines")

    killer = Killer(context)
    killer.start()
    session.sql(SESSIONS).write.parquet(str(parquet))
    killer.over.set()
    killer.join()
    check(killer.pid is not None, "the work was over before an executor could be killed")
    print(f"killed executor process {killer.pid} after {killer.done} of {killer.of} tasks")
    check(killer.pid not in executors(context), "the executor that was killed still runs")
    lost = lost_executors(context)
    check(len(lost) == 1, f"Spark lost one executor, not {lost}")
    print(f"Spark says: executor {lost[0][0]}: {lost[0][1]}")

    session.read.parquet(str(parquet)).createOrReplaceTempView("sessions")
    weeks = [tuple(row) for row in session.sql(BY_WEEK).collect()]
    told = [row.line for row in session.sql("SELECT line FROM sessions").collect()]
    application = context.applicationId
    session.stop()
    shutil.rmtree(home / "work" / application, ignore_errors=True)
    return told, weeks


class Killer(threading.Thread):
    """Kills an executor as soon as two tasks of the long stage are done."""

    def __init__(self, context):
        super().__init__(daemon=True)
        self.context, self.over = context, threading.Event()
        self.pid, self.done, self.of = None, None, None

    def run(self):
        tracker = self.context.statusTracker()
        while not self.over.wait(0.05):
            for stage in map(tracker.getStageInfo, tracker.getActiveStageIds()):
                if stage and stage.numTasks > TASKS // 4 and 2 <= stage.numCompletedTasks < stage.numTasks:
                    self.done, self.of = stage.numCompletedTasks, stage.numTasks
                    self.pid = executors(self.context)[0]
                    os.kill(self.pid, signal.SIGKILL)
                    return


def executors(context):
    """The process ids of this application's executors."""
    wanted = {b"org.apache.spark.executor.CoarseGrainedExecutorBackend", context.applicationId.encode()}
    found = []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            words = (process / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue  # it has ended
        if wanted <= set(words):
            found.append(int(process.name))
    return sorted(found)


def lost_executors(context):
    """Number and reason of the executors that Spark has lost."""
    every = context._jsc.sc().statusStore().executorList(False)
    every = [every.apply(i) for i in range(every.size())]
    return [(one.id(), one.removeReason().get()) for one in every if not one.isActive()]


main()
