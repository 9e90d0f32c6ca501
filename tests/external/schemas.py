"""Holds documents that repledger writes against its schemas with jsonschema (PyPI), which knows all of draft 2020-12."""

import json
import subprocess
import sys
import tempfile

from jsonschema import Draft202012Validator

repledger, trace, plan = sys.argv[1:4]


def printed(*words):
    return json.loads(subprocess.run([repledger, "-q", *words], check=True, capture_output=True).stdout)


diary = ["--diary", tempfile.mkdtemp() + "/d.db"]
subprocess.run([repledger, "-q", "diary", "add", trace, "--plan", plan, *diary], check=True, capture_output=True)

for of, words in {
    "review": ["review", trace, "--plan", plan, "--json"],
    "plan": ["plan", plan, "--json"],
    "simulation": ["simulate", plan, "--sessions", "2", "--json"],
    "comparison": ["compare", trace, trace, "--plan", plan, "--json"],
    "diary": ["diary", "list", "--json", *diary],
    "entry": ["diary", "show", "1", "--json", *diary],
    "best": ["best", "--json", *diary],
    "weeks": ["weeks", "--json", *diary],
    "table": None,
    "settings": None,
}.items():
    schema = printed("schema", of)
    Draft202012Validator.check_schema(schema)
    if words is None:
        continue
    document = printed(*words)
    faults = [f"{error.json_path}: {error.message}" for error in Draft202012Validator(schema).iter_errors(document)]
    if faults:
        sys.exit(f"schema {of}: {faults[:5]}")
    document["odd"] = 1
    if Draft202012Validator(schema).is_valid(document):
        sys.exit(f"schema {of}: it lets a field of no meaning pass")
    print(f"schema {of}: jsonschema agrees")
