"""What `lay` prints when covers are left over: what any layout could hold, and what would
make all of them fit. The texts are in fit/; --update behind the program writes them anew."""
import json
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import Checks
from tight_jobs import tight_jobs

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
HERE = pathlib.Path(__file__).resolve().parent


def printed(job, *options):
    done = subprocess.run([PROGRAM, "lay", "-", *options], input=json.dumps(job), text=True,
                          capture_output=True, check=False)
    text = done.stdout
    begin = text.rfind("\n", 0, text.find(" found no place")) + 1
    return done.returncode, text[begin:], done.stderr


def main():
    checks = Checks()
    jobs = tight_jobs(PROGRAM)
    update = "--update" in sys.argv
    for name, job in jobs.items():
        status, text, errors = printed(job)
        path = HERE / "fit" / f"{name}.txt"
        if update:
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        wanted = path.read_text(encoding="utf-8")
        checks.that(status == 5 and text == wanted and not errors, f"{name}: as in {path.name}")
        if text != wanted:
            print(text)
    job = jobs["grip"]
    checks.that("Any one of these" not in printed(job, "--fit", "0")[1], "--fit 0 tries nothing")
    checks.that("of the 4" in printed(jobs["pointless"], "--fit=0")[1], "the bound is told even so")
    for value in ["-1", "1001", "much", "", "5 mm"]:
        status, _, errors = printed(job, "--fit", value)
        checks.that(status == 2 and "0 to 1000" in errors, f"--fit {value!r} is refused")
    checks.end()


main()
