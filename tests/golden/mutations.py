"""Examples with values taken out, swapped or replaced by nonsense, through `check` and `lay`.

Whatever comes in, the answer is a plan or mistakes told in words: exit status 0, 2 or 5. Under
the sanitizers a wrong step in memory would show as another status.
  mutations.py PROGRAM [FIRST_SEED [HOW_MANY]]
"""
import copy
import json
import pathlib
import random
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import Checks, examples

NONSENSE = [0, -1, 1e9, 1e-9, 5000, 0.5, "x", "18 1/2", "-3", "1/0", "", None, True, [], {},
            [[0, 0], [1, 1]], "none", "face", "measured", "traced", "D", "round", "side", "panel"]


def paths(value, path=()):
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(
        value, list) else ()
    for key, inner in items:
        yield from paths(inner, path + (key,))


def at(value, path):
    for key in path:
        value = value[key]
    return value


def mutated(rng, job):
    for _ in range(rng.randint(1, 6)):
        places = [path for path in paths(job) if path]
        if not places:
            break
        path = rng.choice(places)
        parent = at(job, path[:-1])
        kind = rng.random()
        if kind < 0.25:
            del parent[path[-1]]
        elif kind < 0.8:
            parent[path[-1]] = copy.deepcopy(rng.choice(NONSENSE))
        else:
            parent[path[-1]] = copy.deepcopy(at(job, rng.choice(places)))
    return job


def main():
    checks = Checks()
    jobs = [json.loads(path.read_text(encoding="utf-8")) for path in examples()]
    for job in jobs:  # a few hides and chairs can be broken in as many ways as a restaurant's
        job["hides"] = job.get("hides", [])[:3]
        for seat in job["seats"]:
            seat["count"] = min(seat.get("count", 1), 10)
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    many = int(sys.argv[3]) if len(sys.argv) > 3 else 120
    for seed in range(first, first + many):
        rng = random.Random(seed)
        job = mutated(rng, copy.deepcopy(rng.choice(jobs)))
        job.setdefault("search", {"work": 0.02})
        text = json.dumps(job)
        for command in ("check", "lay"):
            done = subprocess.run([sys.argv[1], command, "-"], input=text, capture_output=True,
                                  text=True, check=False)
            told = done.returncode != 2 or done.stderr.strip()
            checks.that(done.returncode in (0, 2, 5) and told,
                        f"{seed} {command}: status {done.returncode}")
    checks.end()


if __name__ == "__main__":
    main()
