#!/usr/bin/env python3
"""docs/job.schema.json against a general validator (python3-jsonschema, draft 2020-12).

The schema itself is valid; every example and test job is valid against it; of the
broken jobs, those marked [schema] are refused by it, and the others are not, so that
the marks stay true. Usual values are allowed where they stand.
"""
import json
import pathlib
import re
import sys

import jsonschema

ROOT = pathlib.Path(__file__).resolve().parents[2]


def macros_of(lines):
    found = {}
    for line in lines:
        if line.startswith("== "):
            break
        match = re.match(r"(%\S+) = (.*)", line)
        if match:
            found[match[1]] = match[2]
    return found


def expand(text, macros):
    pattern = re.compile("|".join(re.escape(word) for word in sorted(macros, key=len, reverse=True)))
    while macros and pattern.search(text):
        text = pattern.sub(lambda match: macros[match[0]], text)
    return text


def cases(path):
    lines = path.read_text(encoding="utf-8").split("\n")
    macros = macros_of(lines)
    title, document, inside = None, [], False
    for line in lines:
        if line.startswith("== "):
            title, document, inside = line[3:], [], True
        elif line == "--" and inside:
            yield title, expand("\n".join(document), macros)
            inside = False
        elif inside:
            document.append(line)


def repeated(pairs):
    """A validator never sees repeated keys; they are not a matter of the schema."""
    return dict(pairs)


def nodes(node, where):
    """Every object of the schema, with its place."""
    if isinstance(node, dict):
        yield where, node
        for key, value in node.items():
            yield from nodes(value, f"{where}/{key}")
    elif isinstance(node, list):
        for i, value in enumerate(node):
            yield from nodes(value, f"{where}/{i}")


def main():
    schema = json.loads((ROOT / "docs/job.schema.json").read_text(encoding="utf-8"))
    validator_class = jsonschema.Draft202012Validator
    validator_class.check_schema(schema)
    validator = validator_class(schema)
    faults = []
    for where, node in nodes(schema, "#"):
        usual = node.get("x-usual")
        values = [node["default"]] if "default" in node else list(usual.values()) if isinstance(usual, dict) else []
        bare = {key: value for key, value in node.items() if key not in ("default", "x-usual")}
        for value in values:
            if not validator_class({**bare, "$defs": schema["$defs"]}).is_valid(value):
                faults.append(f"{where}: its usual value {value!r} is not allowed")
    good = sorted(ROOT.glob("examples/**/*.json")) + sorted((ROOT / "tests/golden/jobs").glob("*.json"))
    for path in good:
        for error in validator.iter_errors(json.loads(path.read_text(encoding="utf-8"))):
            faults.append(f"{path.relative_to(ROOT)}: {error.json_path}: {error.message[:200]}")
    guide = (ROOT / "docs/job-file.md").read_text(encoding="utf-8")
    examples = re.findall(r"```json\n(\{\n.*?)\n```", guide, re.S)
    for example in examples:
        faults += [f"docs/job-file.md: {error.message[:200]}"
                   for error in validator.iter_errors(json.loads(example))]
    refused = 0
    for path in sorted((ROOT / "tests/golden/bad-jobs").glob("*.txt")):
        if path.name == "syntax.txt":
            continue  # no JSON, so nothing for a schema
        for title, text in cases(path):
            valid = validator.is_valid(json.loads(text, object_pairs_hook=repeated))
            marked = title.endswith("[schema]")
            if valid == marked:
                faults.append(f"{path.name}: {title}: is {'valid' if valid else 'invalid'}")
            refused += not valid
    print("\n".join(faults))
    print(f"{len(good)} files and {len(examples)} examples valid, {refused} broken jobs refused")
    return 1 if faults or refused < 60 or len(good) < 3 or len(examples) < 2 else 0


if __name__ == "__main__":
    sys.exit(main())
