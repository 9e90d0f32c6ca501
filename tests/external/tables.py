"""Other programs read every table with the same values.

python3 tables.py REPLEDGER TRACE PLAN FOLDER: writes each table in every format into FOLDER and reads it with pandas, DuckDB and
openpyxl, and, where it is there, by way of LibreOffice. Prints a line a check and fails at the first difference.
"""

import csv
import datetime
import io
import json
import pathlib
import re
import shutil
import subprocess
import sys
import zipfile

import duckdb
import openpyxl
import pandas

repledger, trace, plan, folder = sys.argv[1:5]
folder = pathlib.Path(folder)
TABLES = ["sessions", "efforts", "reps", "rests", "bands", "weeks"]


def table(to, *words):
    subprocess.run([repledger, "-q", "table", trace, "--plan", plan, "--to", folder / to, "--force", *words], check=True)
    return folder / to


def same(a, b):
    """Whether two cells hold the same; what is not known may be None, NaN or nothing."""
    unknown = [x is None or x == "" or (isinstance(x, float) and x != x) or x is pandas.NaT for x in (a, b)]
    if any(unknown):
        return all(unknown)
    if isinstance(a, bool) or isinstance(b, bool):
        # LibreOffice writes =TRUE() for yes.
        return str(a).lower() == str(b).lower().removeprefix("=").removesuffix("()")
    if isinstance(a, (int, float)):
        return abs(float(a) - float(b)) < 1e-9
    return plain(a) == plain(b)


def plain(value):
    """A text, day or moment as text, without the zone, to the millisecond."""
    if isinstance(value, datetime.datetime):
        value = value.replace(tzinfo=None)
        value += datetime.timedelta(microseconds=500)
        text = value.isoformat(timespec="milliseconds")
        return text[:10] if text.endswith("T00:00:00.000") else text
    if isinstance(value, datetime.date):
        return value.isoformat()
    text = str(value)
    if len(text) > 18 and text[10] in "T " and text[4] == text[7] == "-" and text[:4].isdigit():
        moment = datetime.datetime.fromisoformat(text.replace("Z", "+00:00"))
        return plain(moment)
    return text


def compare(what, names, rows, other_names, other_rows):
    assert list(names) == list(other_names), (what, names, other_names)
    assert len(rows) == len(other_rows), (what, len(rows), len(other_rows))
    for i, (row, other) in enumerate(zip(rows, other_rows)):
        for name, a, b in zip(names, row, other):
            assert same(a, b), f"{what}: row {i + 1}, {name}: {a!r} is not {b!r}"
    print(f"{what}: {len(rows)} rows of {len(names)} columns are the same")


def libreoffice(path, to):
    out = folder / "converted"
    command = ["soffice", "--headless", f"-env:UserInstallation=file://{folder.resolve()}/office", "--convert-to", to]
    if path.suffix == ".csv":
        # Fields 44 (comma), text in 34 (quotes), UTF-8, from line 1, numbers as the English write them.
        command += ["--infilter=CSV:44,34,76,1,,1033,false,true"]
    subprocess.run(command + ["--outdir", out, path], check=True, capture_output=True)
    return out / f"{path.stem}.{to.split(':')[0]}"


def cells(path, sheet):
    rows = list(openpyxl.load_workbook(path)[sheet].values)
    return list(rows[0]), rows[1:]


def no_formula(path):
    with zipfile.ZipFile(path) as book:
        for name in book.namelist():
            if name.startswith("xl/worksheets/sheet"):
                text = book.read(name).decode()
                # LibreOffice writes yes and no this way; only it does, and only these.
                if path.parent.name == "converted":
                    text = re.sub(r"<f[^>]*>(TRUE|FALSE)\(\)</f>", "", text)
                assert "<f>" not in text and "<f " not in text, f"{path}: a formula in {name}"


book = table("all.xlsx")
no_formula(book)
again = None
if shutil.which("soffice"):
    again = libreoffice(book, "xlsx")
    no_formula(again)
else:
    print("LibreOffice is not there: not tried")

for name in TABLES:
    document = json.loads(table(f"{name}.json", "--of", name).read_text())
    names = [column["name"] for column in document["columns"]]
    rows = [[row[n] for n in names] for row in document["rows"]]
    assert rows, f"{name}: no rows"

    path = table(f"{name}.csv", "--of", name)
    frame = pandas.read_csv(path)
    compare(f"{name}.csv by pandas", names, rows, frame.columns, frame.astype(object).values.tolist())
    found = duckdb.sql(f"SELECT * FROM read_csv('{path}', sample_size = -1)")
    compare(f"{name}.csv by DuckDB", names, rows, found.columns, found.fetchall())

    path = table(f"{name}.ndjson", "--of", name)
    frame = pandas.read_json(path, lines=True, convert_dates=False)
    compare(f"{name}.ndjson by pandas", names, rows, frame.columns, frame.astype(object).values.tolist())
    found = duckdb.sql(f"SELECT * FROM read_json('{path}')")
    compare(f"{name}.ndjson by DuckDB", names, rows, found.columns, found.fetchall())

    # The one line of docs/tables.md.
    parquet = folder / f"{name}.parquet"
    duckdb.sql(f"COPY (FROM '{folder / name}.csv') TO '{parquet}'")
    found = duckdb.sql(f"FROM '{parquet}'")
    compare(f"{name}.parquet by DuckDB", names, rows, found.columns, found.fetchall())

    path = table(f"{name}_comma.csv", "--of", name, "--locale", "comma")
    frame = pandas.read_csv(path, sep=";", decimal=",", encoding="utf-8-sig")
    compare(f"{name}.csv with commas by pandas", names, rows, frame.columns, frame.astype(object).values.tolist())

    compare(f"{name} in the workbook", names, rows, *cells(book, name))
    if again:
        compare(f"{name} in the workbook by LibreOffice", names, rows, *cells(again, name))
        converted = libreoffice(folder / f"{name}.csv", "xlsx")
        no_formula(converted)
        compare(f"{name}.csv by LibreOffice", names, rows, *cells(converted, converted.stem))

# Names that a spreadsheet would run.
evil = ['=1+1', '+1', '-1+2', '@SUM(1)', '=cmd|"/c calc"!A1', '\t=1']
for i, words in enumerate(evil):
    gpx = pathlib.Path(trace).read_text()
    name = words.replace("&", "&amp;").replace("<", "&lt;").replace("\t", "&#9;")
    gpx = gpx.replace("<trk>", f"<trk><name>{name}</name>", 1)
    (folder / f"evil{i}.gpx").write_text(gpx)
traces = [str(folder / f"evil{i}.gpx") for i in range(len(evil))]
for ending in ["csv", "xlsx"]:
    path = folder / f"evil.{ending}"
    subprocess.run([repledger, "-q", "table", *traces, "--of", "sessions", "--to", path, "--force"], check=True)
rows = list(csv.DictReader(io.StringIO((folder / "evil.csv").read_text(), newline="")))
assert len(rows) == len(evil)
assert all(row["title"][0] not in "=+-@\t\r" for row in rows), [row["title"] for row in rows]
no_formula(folder / "evil.xlsx")
if again:
    for path in [folder / "evil.csv", folder / "evil.xlsx"]:
        converted = libreoffice(path, "xlsx")
        no_formula(converted)
        names, rows = cells(converted, "sessions" if path.suffix == ".xlsx" else "evil")
        held = [row[names.index("title")] for row in rows]
        assert all(isinstance(title, str) for title in held), held
print("texts that look like formulas stay texts")
