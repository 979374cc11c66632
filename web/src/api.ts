// What the pages ask of the server, with the shapes of its answers as far as they are used
// (src/serve/openapi.json describes all of them).

export type Point = readonly [number, number];
export type Ring = readonly Point[];
export type Chain = readonly Point[]; // its last point does not join the first
export interface Polygon {
  readonly outer_mm: Ring;
  readonly holes_mm: readonly Ring[];
}

export interface Problem {
  readonly kind: string;
  readonly where: string;
  readonly found: string;
  readonly allowed: string | null;
  readonly remedy: string | null;
}
export interface JobState {
  readonly id: number;
  readonly uid: string;
  readonly name: string;
  readonly version: number;
  readonly versions: number;
  readonly saved_ms: number;
  readonly away: boolean;
}
export interface Version {
  readonly version: number;
  readonly base: number;
  readonly redo: number;
}
export interface Example {
  readonly example: string;
  readonly name: string;
  readonly notes: string | null;
}
export interface FlatRule {
  readonly name: string;
  readonly source: string;
  readonly allowance_mm: number;
  readonly wasted_mm: Readonly<Record<string, number>>;
}
export interface CrossSection {
  readonly board_mm: Ring;
  readonly padding_mm: Ring;
  readonly layers: readonly { readonly material: string; readonly outline_mm: Ring }[];
  readonly leather_thickness_mm: number;
  readonly leather_mm: Readonly<Record<"dome" | "round" | "side" | "bottom" | "under" | "hold" | "grip", Chain>>;
  readonly lengths_mm: Readonly<Record<"face" | "edge" | "turn" | "grip", number>>;
}
export interface Cover {
  readonly name: string;
  readonly seat: string;
  readonly chair: string | null;
  readonly count: number;
  readonly net_area_mm2: number;
  readonly gross_area_mm2: number;
  readonly paths: Readonly<Record<string, Readonly<Record<string, number>>>>;
  readonly sections: Readonly<Record<string, CrossSection>>;
  readonly flat_rules: readonly FlatRule[];
  readonly frame_mm: Ring;
  readonly outline_mm: Ring;
  readonly tack_line_mm: Ring;
  readonly within_mm: { readonly face: Ring; readonly edge: Ring; readonly turn: Ring; readonly grip: Ring };
}
export interface Derived {
  readonly good: boolean;
  readonly mistakes: number;
  readonly doubts: number;
  readonly problems: readonly Problem[];
  readonly covers: readonly Cover[];
  readonly cut_mm2: number;
}

/** The server said no, in the words of `problems`. */
export class Refused extends Error {
  constructor(readonly status: number, readonly problems: readonly Problem[], readonly present: number | null) {
    super(problems.map((one) => `${one.where}: ${one.found}`).join("; ") || `the server answered ${status}`);
  }
}
/** The server was not reached. */
export class Unreached extends Error {}

export interface Ask {
  readonly method?: "GET" | "POST" | "PUT" | "DELETE";
  readonly body?: string;
  readonly file?: Blob; // instead: an export, or a picture
  readonly ifMatch?: number;
  readonly signal?: AbortSignal;
  readonly keepalive?: boolean;
}

export async function ask(address: string, how: Ask = {}): Promise<Response> {
  const headers: Record<string, string> = {};
  if (how.body !== undefined) headers["Content-Type"] = "application/json";
  if (how.file) headers["Content-Type"] = how.file.type.startsWith("image/") ? how.file.type : "application/vnd.sqlite3";
  if (how.ifMatch !== undefined) headers["If-Match"] = `"${how.ifMatch}"`;
  let answer: Response;
  try {
    answer = await fetch(address, {
      method: how.method ?? "GET", headers, body: how.file ?? how.body ?? null,
      signal: how.signal ?? null, keepalive: how.keepalive ?? false,
    });
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    throw new Unreached("the server was not reached");
  }
  if (answer.ok) return answer;
  if (answer.status === 503) throw new Unreached("the server is busy");
  const refusal = (await answer.json().catch(() => ({}))) as { problems?: Problem[]; present?: number };
  throw new Refused(answer.status, refusal.problems ?? [], refusal.present ?? null);
}

export async function askJson<T>(address: string, how: Ask = {}): Promise<T> {
  return (await (await ask(address, how)).json()) as T;
}

export const derive = (document: string, signal?: AbortSignal): Promise<Derived> =>
  askJson<Derived>("/api/derive", { method: "POST", body: document, ...(signal ? { signal } : {}) });
