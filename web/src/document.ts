// A job's document as the page holds it: JSON that may have mistakes, changed by making new
// objects along one path. Paths are written as the program's problems write them,
// `seats[0].frame.notches.back_left`.

export type Json = string | number | boolean | null | Json[] | { [key: string]: Json };
export type JsonObject = { [key: string]: Json };
export type Path = readonly (string | number)[];

export function isObject(value: unknown): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function pathText(path: Path): string {
  return path.reduce<string>(
    (text, step) => (typeof step === "number" ? `${text}[${step}]` : text === "" ? step : `${text}.${step}`), "");
}

/** A path as pathText() wrote it. */
export const pathOf = (where: string): Path =>
  (where.match(/[^.[\]]+/g) ?? []).map((step) => (/^\d+$/.test(step) ? Number(step) : step));

export function at(root: Json | undefined, path: Path): Json | undefined {
  let value: Json | undefined = root;
  for (const step of path) {
    if (Array.isArray(value) && typeof step === "number") value = value[step];
    else if (isObject(value) && typeof step === "string") value = Object.hasOwn(value, step) ? value[step] : undefined;
    else return undefined;
  }
  return value;
}

// What must stay though it is empty, so that its missing parts are told one by one.
function stays(path: Path): boolean {
  const last = path[path.length - 1];
  return typeof last === "number" ||
    (!path.includes("chairs") && (last === "frame" || last === "board" || last === "padding"));
}

/** What something in a list is called; `usual` where it has no name yet. */
export const nameOf = (value: Json | undefined, usual: string): string =>
  isObject(value) && typeof value["name"] === "string" && value["name"].trim() !== "" ? value["name"] : usual;

/** A name that none of them has: `hide 3`. */
export function freshName(base: string, taken: readonly Json[]): string {
  const names = new Set(taken.map((one) => nameOf(one, "")));
  let count = taken.length + 1;
  while (names.has(`${base} ${count}`)) count++;
  return `${base} ${count}`;
}

/** A copy of `root` with `value` at `path`; undefined takes it away, and what is empty then. */
export function put(root: Json, path: Path, value: Json | undefined): Json {
  return putBelow(root, path, value, []) ?? {};
}

function putBelow(node: Json | undefined, rest: Path, value: Json | undefined, above: Path): Json | undefined {
  const step = rest[0];
  if (step === undefined) return value;
  if (typeof step === "number") {
    const list = Array.isArray(node) ? [...node] : [];
    const made = putBelow(list[step], rest.slice(1), value, [...above, step]);
    if (made === undefined) list.splice(step, 1);
    else list[step] = made;
    return list.length === 0 ? undefined : list;
  }
  const object: JsonObject = isObject(node) ? { ...node } : {};
  const made = putBelow(object[step], rest.slice(1), value, [...above, step]);
  if (made === undefined) delete object[step];
  else object[step] = made;
  return Object.keys(object).length === 0 && above.length > 0 && !stays(above) ? undefined : object;
}

/** Where a value stands, as one says it: `Side chair, frame, front`. What has a name of its own in
    the document is called by it, another item of a list by its number. */
export function placeWords(path: Path, document: Json | undefined): string {
  const words: string[] = [];
  let node: Json | undefined = document;
  for (const step of path) {
    if (typeof step === "string") {
      words.push(step.replaceAll("_", " "));
      node = isObject(node) ? node[step] : undefined;
    } else {
      node = Array.isArray(node) ? node[step] : undefined;
      words.push(nameOf(node, `${words.pop() ?? ""} ${step + 1}`));
    }
  }
  const all = words.join(", ");
  return all.charAt(0).toUpperCase() + all.slice(1);
}

export interface Difference {
  readonly path: Path;
  readonly mine: string;
  readonly theirs: string;
}

const SHOWN_LETTERS = 80;

function shown(value: Json | undefined): string {
  if (value === undefined) return "—";
  const text = typeof value === "string" ? value : JSON.stringify(value);
  return text.length > SHOWN_LETTERS ? `${text.slice(0, SHOWN_LETTERS - 1)}…` : text;
}

/** Where two documents differ, in the order of the first, then what only the second has. */
export function differences(mine: Json | undefined, theirs: Json | undefined, path: Path = []): Difference[] {
  if (Array.isArray(mine) && Array.isArray(theirs)) {
    return Array.from({ length: Math.max(mine.length, theirs.length) }, (_, i) =>
      differences(mine[i], theirs[i], [...path, i])).flat();
  }
  if (isObject(mine) && isObject(theirs)) {
    return [...new Set([...Object.keys(mine), ...Object.keys(theirs)])].flatMap((key) =>
      differences(mine[key], theirs[key], [...path, key]));
  }
  return JSON.stringify(mine) === JSON.stringify(theirs) ? [] : [{ path, mine: shown(mine), theirs: shown(theirs) }];
}
