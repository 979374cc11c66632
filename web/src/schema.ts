// Which fields a form has. All of it comes from the schema that the server sends: names, help,
// allowed words, and what belongs to which shape.

import { isObject, type Json } from "./document";

export interface SchemaNode {
  readonly description?: string;
  readonly "x-quantity"?: string; // area, leather, money, ...: what a number is a measure of
  readonly type?: string;
  readonly enum?: readonly string[];
  readonly oneOf?: readonly SchemaNode[];
  readonly $ref?: string;
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly items?: SchemaNode;
  readonly required?: readonly string[];
  readonly allOf?: readonly Condition[];
  readonly maxLength?: number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly maxItems?: number;
  readonly default?: string | number | boolean;
  readonly "x-usual"?: string | Readonly<Record<string, string | number>>;
}
interface Condition {
  readonly if: { readonly properties: Readonly<Record<string, { readonly const: string }>> };
  readonly then: { readonly required?: readonly string[]; readonly properties?: Readonly<Record<string, false | SchemaNode>> };
}
export interface Schema extends SchemaNode {
  readonly $defs: Readonly<Record<string, SchemaNode>>;
}

export type FieldKind = "measure" | "written" | "sides" | "words" | "text" | "whole" | "number" | "yes" | "object" | "list";

export interface Field {
  readonly key: string;
  readonly label: string;
  readonly help: string;
  readonly kind: FieldKind;
  readonly needed: boolean;
  readonly words: readonly string[]; // allowed words, or the sides of `sides`
  readonly node: SchemaNode; // what an object or a list's item is made of
}

const isMeasure = (node: SchemaNode): boolean =>
  node.oneOf !== undefined && node.oneOf.some((one) => one.$ref === "#/$defs/measure");

/** `corner_radius` as it stands before a field. */
export function labelOf(key: string): string {
  const words = key.replaceAll("_", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function resolved(schema: Schema, node: SchemaNode): SchemaNode {
  const name = node.$ref?.replace("#/$defs/", "");
  const target = name === undefined ? undefined : schema.$defs[name];
  return target && node.$ref ? { ...target, $ref: node.$ref, description: node.description ?? target.description ?? "" } : node;
}

function sidesOf(node: SchemaNode): readonly string[] | null {
  const object = node.oneOf?.find((one) => one.properties);
  return object?.properties ? Object.keys(object.properties).filter((key) => key !== "all") : null;
}

function kindOf(node: SchemaNode): FieldKind {
  // Measures in a unit that only the job has; and a text may say a range.
  if (node["x-quantity"] === "area" || node["x-quantity"] === "leather") return "written";
  if (isMeasure(node)) return "measure";
  if (sidesOf(node)) return "sides";
  if (node.enum) return "words";
  switch (node.type) {
    case "array": return "list";
    case "object": return "object";
    case "integer": return "whole";
    case "number": return "number";
    case "boolean": return "yes";
    default: return "text";
  }
}

/** The fields of `definition` that make sense with what `value` says so far. */
export function fieldsOf(schema: Schema, definition: string, value: Json | undefined): Field[] {
  const node = schema.$defs[definition];
  if (!node?.properties) return [];
  const needed = new Set(node.required ?? []);
  const barred = new Set<string>();
  for (const condition of node.allOf ?? []) {
    const tests = Object.entries(condition.if.properties);
    if (!tests.every(([key, test]) => isObject(value) && value[key] === test.const)) continue;
    condition.then.required?.forEach((key) => needed.add(key));
    for (const [key, one] of Object.entries(condition.then.properties ?? {})) if (one === false) barred.add(key);
  }
  // What is barred but written stays in sight, so that it can be taken away.
  return Object.entries(node.properties)
    .filter(([key]) => !barred.has(key) || (isObject(value) && key in value))
    .map(([key, raw]) => field(schema, key, raw, needed.has(key)));
}

function field(schema: Schema, key: string, raw: SchemaNode, needed: boolean): Field {
  const node = resolved(schema, raw);
  return {
    key, label: labelOf(key), help: (node.description ?? "").replaceAll("`", ""), kind: kindOf(node), needed,
    words: node.enum ?? sidesOf(node) ?? [], node,
  };
}

/** The name of the definition that an object or a list's items have. */
export function definitionOf(node: SchemaNode): string | null {
  return (node.items?.$ref ?? node.$ref)?.replace("#/$defs/", "") ?? null;
}
