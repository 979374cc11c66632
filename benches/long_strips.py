#!/usr/bin/env python3
"""Long runs of the strip bench, a few at a time: what a file already holds is not run again.

    benches/long_strips.py RESULTS --seconds S --threads T --seeds N [--instances a,b]
    benches/long_strips.py RESULTS --table

RESULTS (for instance benches/results/strips-60s.jsonl) gets one line of JSON for each run: that of
the bench, with date, commit and processor. Seed by seed, so that a file that is not complete
yet holds the same seeds of all instances. --table prints means beside published ones.
"""

import argparse
import collections
import datetime
import json
import pathlib
import statistics
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
DATA = ROOT / "benches/data/strips"
# Those whose best published means over many runs are known.
INSTANCES = "albano,dagli,fu,jakobs1,jakobs2,mao,marques,shapes0,shapes1,shapes2,shirts,swim,trousers"


def processor():
    for line in pathlib.Path("/proc/cpuinfo").read_text().splitlines():
        if line.startswith("model name"):
            return line.split(":", 1)[1].strip()
    return "unknown"


def read(path):
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


def run_one(instance, seed, options):
    out = ROOT / "build/strips"
    words = [ROOT / "bench", "strips", "--data", DATA, "--instances", instance, "--seconds", options.seconds,
             "--seeds", 1, "--first", seed, "--threads", options.threads, "--out", out]
    lines = subprocess.run([str(word) for word in words], check=True, capture_output=True,
                           text=True).stdout.splitlines()
    result = json.loads(next(line for line in lines if line.startswith("{")))
    del result["layout"]
    return result


def collect(path, options):
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, check=True,
                            capture_output=True, text=True).stdout.strip()
    done = {(one["instance"], one["seed"]) for one in read(path)}
    for seed in range(1, options.seeds + 1):
        for instance in options.instances.split(","):
            if (instance, seed) in done:
                continue
            result = run_one(instance, seed, options)
            result |= {"date": datetime.date.today().isoformat(), "commit": commit,
                       "processor": processor()}
            with path.open("a") as file:
                file.write(json.dumps(result) + "\n")
            print(instance, seed, result["density"], flush=True)


def best_published(published, instance):
    known = published["instances"][instance]
    before = [known[key] for key in known
              if key.startswith("average_") and not key.endswith("2025") and known[key]]
    return max(before, default="-"), known.get("average_2025", "-")


def table(path):
    published = json.loads((DATA / "published_densities.json").read_text())
    by_instance = collections.defaultdict(list)
    for one in read(path):
        by_instance[one["instance"]].append(one["density"])
    print("| instance | seeds | mean | best | least | published 2019 or before | 2025 |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for instance, found in sorted(by_instance.items()):
        before, last = best_published(published, instance)
        print(f"| {instance} | {len(found)} | {statistics.mean(found):.2f} | {max(found):.2f} |"
              f" {min(found):.2f} | {before} | {last} |")


def main():
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("results", type=pathlib.Path)
    words.add_argument("--seconds", type=float, default=60)
    words.add_argument("--threads", type=int, default=2)
    words.add_argument("--seeds", type=int, default=3)
    words.add_argument("--instances", default=INSTANCES)
    words.add_argument("--table", action="store_true")
    options = words.parse_args()
    if options.table:
        table(options.results)
    else:
        collect(options.results, options)


if __name__ == "__main__":
    sys.exit(main())
