"""The pages for buying as printed: their words are in print/; --update behind the programs writes
them anew. Words are read back by pdftotext. And what the commands do with --print and --buying."""
import json
import pathlib
import signal
import subprocess
import sys
import tempfile
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "outside"))
from program import ROOT, Checks, wait_until_it_listens

PROGRAM, SAMPLES = (str(pathlib.Path(word).resolve()) for word in sys.argv[1:3])
HERE = pathlib.Path(__file__).resolve().parent
TAPER = ROOT / "examples" / "small" / "taper.json"
STOOL = ROOT / "examples" / "small" / "round-stool.json"
DATE = ["--date", "2026-01-31"]


def call(*words, stdin=""):
    return subprocess.run([PROGRAM, *words], input=stdin, capture_output=True, text=True, check=False)


def words_of(path):
    return subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True,
                          check=True).stdout


def titles(path):
    pages = words_of(path).split("\f")[:-1]
    return [page.strip().splitlines()[0].split("   ")[0] for page in pages]


def keep_or_compare(checks, name, text):
    path = HERE / "print" / f"{name}.txt"
    text = "\n".join(line.rstrip() for line in text.replace("\f", "\n----\n").splitlines()) + "\n"
    if "--update" in sys.argv:
        path.write_text(text, encoding="utf-8")
    checks.that(text == path.read_text(encoding="utf-8"), f"words as in print/{name}.txt")


def texts(checks):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([SAMPLES, folder], capture_output=True, check=True)
        for name in ["buying-a4", "buying-metric"]:
            keep_or_compare(checks, name, words_of(pathlib.Path(folder) / f"{name}.pdf"))
        for example in ["rowing-club", "mill-kitchen"]:
            path = pathlib.Path(folder) / "advice.pdf"
            done = call("advise", str(ROOT / "examples" / f"{example}.json"), "--print", str(path), *DATE)
            checks.that(done.returncode == 0 and f"pages are in {path}." in done.stdout,
                        f"{example}: advise --print")
            keep_or_compare(checks, f"advise-{example}", words_of(path))


def printing(checks):
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "buy.pdf"
        order = ["buy", str(TAPER), "--trials", "6", "--pieces", "1", *DATE, "--print"]
        plain = json.loads(call(*order[:-1], "--json").stdout)
        done = call(*order, str(path), "--json")
        checks.that(done.returncode == 0 and json.loads(done.stdout) == plain,
                    "--print beside --json changes nothing of the document")
        words = " ".join(words_of(path).split())
        checks.that(plain["advice"] in words, "the answer of the document stands on the page")
        checks.that(f"{plain['trials']} trials" in words, "and how many trials there were")
        for rule in plain["rules"]:
            checks.that(all(word in words for word in rule["rule"].split()), f"rule: {rule['rule']}")
        before = path.read_bytes()
        call(*order, str(path))
        checks.that(path.read_bytes() == before, "the same job and date give the same bytes")
        checks.that("Offers side by side" not in titles(path), "no offers in the job, no page of them")
        made = pathlib.Path(folder) / "new" / "folder" / "buy.pdf"
        call(*order, str(made))
        checks.that(made.read_bytes() == before, "a folder that is not there is made")
        done = call(*order, str(path / "buy.pdf"))
        checks.that(done.returncode == 1 and "in the way" in done.stderr
                    and path.read_bytes() == before, "a file where the folder should be is told")
        done = call(*order, folder)
        checks.that(done.returncode == 1 and "could not write it" in done.stderr,
                    "a folder where the file should be is told")
        for words, text in [(["--print"], 'a file is missing behind "--print"'),
                            (["--print", "x.pdf", "--date", "May"], "write it as 2026-01-31")]:
            done = call("buy", str(TAPER), *words)
            checks.that(done.returncode == 2 and text in done.stderr, text)
        done = call("buy", str(TAPER), "--thrift", "--print", str(path))
        checks.that(done.returncode == 2 and "--print takes none" in done.stderr,
                    "--thrift prints no pages")
        shards = [str(pathlib.Path(folder) / f"shard-{i}.json") for i in (1, 2)]
        for i, shard in enumerate(shards, 1):
            call(*order[:-1], "--shard", f"{i}/2", "--out", shard)
        call("merge", *shards, *DATE, "--print", str(made))
        checks.that(made.read_bytes() == before, "shards give the same pages, to the byte")
        done = call("covers", str(TAPER), "--print", str(path))
        checks.that(done.returncode == 2 and 'unknown option "--print"' in done.stderr,
                    "covers prints no pages")


def stopping(checks):
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "buy.pdf"
        status = words = None
        # A first trial is done sooner or later, however slow the machine is.
        for wait_s in (2, 8, 30):
            running = subprocess.Popen([PROGRAM, "buy", str(TAPER), "--pieces", "1", "--trials", "100000", "--print",
                                        str(path)], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
            wait_until_it_listens(running)
            time.sleep(wait_s)
            running.send_signal(signal.SIGINT)
            running.communicate(timeout=120)
            status = running.returncode
            if path.exists():
                words = " ".join(words_of(path).split())
                break
        checks.that(status == 130 and words and "were stopped before" in words,
                    "trials that are stopped are printed, and say so")


def packing(checks):
    with tempfile.TemporaryDirectory() as folder:
        plain, asked = pathlib.Path(folder) / "plain", pathlib.Path(folder) / "asked"
        done = call("pack", str(STOOL), "--out", str(plain), *DATE)
        checks.that(done.returncode == 0, "pack without --buying")
        found = titles(plain / "pack.pdf")
        checks.that("Which leather" in found and "In the shop" in found and "Hides seen" in found
                    and "What to ask for and buy" not in found, "has what costs no time")
        done = call("pack", str(STOOL), "--buying", "--trials", "6", "--pieces", "1", "--out",
                    str(asked), *DATE, "--json")
        more = [title for title in titles(asked / "pack.pdf") if title not in found]
        checks.that(done.returncode == 0 and set(more) == {"What to ask for and buy"},
                    f"with --buying also what to ask for: {more}")
        done = call("pack", str(STOOL), "--trials", "6", "--out", str(asked))
        checks.that(done.returncode == 2 and "add --buying" in done.stderr,
                    "options of buy want --buying")
        words = words_of(asked / "pack.pdf")
        checks.that("page 1 of " in words and (asked / "pages").is_dir(), "pages are counted through")


def scripts(checks):
    job = json.loads(TAPER.read_text(encoding="utf-8"))
    job["name"] = "Стулья для клуба — Καρέκλες, كراسي, 椅子"
    job["seats"][0]["name"] = "Ящик & <stool> \"№ 1\""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "advice.pdf"
        done = call("advise", "-", "--print", str(path), *DATE, stdin=json.dumps(job))
        words = words_of(path)
        checks.that(done.returncode == 0 and "Стулья для клуба — Καρέκλες" in words
                    and "Ящик & <stool>" in words, "names in other scripts stand on the pages")


def main():
    checks = Checks()
    for part in [texts, printing, stopping, packing, scripts]:
        part(checks)
    checks.end()


main()
