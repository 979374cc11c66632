// Fields made from the schema: one input for each, its help, and what the program says of it
// beside it, in the program's words.

import { useId, useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import type { Problem } from "./api";
import { at, isObject, pathText, type Json, type Path } from "./document";
import { change, currency, documentUnit, draft, documentArea, documentLeather, listAt, problems, problemsIn, unit } from "./job";
import { definitionOf, fieldsOf, labelOf, type Field, type Schema } from "./schema";
import { exactLength, MM_PER, shownMeasure, writtenMeasure } from "./units";
import { problemWords } from "./words";

export const idOf = (where: string): string => `at-${where.replaceAll(/[^A-Za-z0-9_]/g, "-")}`;

export function Problems({ list, id }: { readonly list: readonly Problem[]; readonly id: string }) {
  return (
    <ul class="problems" id={id}>
      {list.map((one, i) => (
        <li key={i} class={one.kind === "doubt" ? "doubt" : "mistake"}>
          <strong>{one.kind === "doubt" ? "Doubt: " : "Mistake: "}</strong>{problemWords(one)}
        </li>
      ))}
    </ul>
  );
}

interface RowProps {
  readonly path: Path;
  readonly label: string;
  readonly help: string;
  readonly needed: boolean;
  readonly suffix?: string;
  readonly also?: readonly Problem[]; // of parts that have no field of their own
  readonly input: (ids: { id: string; describedBy: string; invalid: boolean }) => ComponentChildren;
  readonly children?: ComponentChildren;
}

export function Row({ path, label, help, needed, suffix, also, input, children }: RowProps) {
  const where = pathText(path);
  const id = idOf(where);
  const mine = [...problems.value.filter((one) => one.where === where), ...(also ?? [])];
  const invalid = mine.some((one) => one.kind !== "doubt");
  const describedBy = [help && `${id}-help`, mine.length > 0 && `${id}-problems`].filter(Boolean).join(" ");
  return (
    <div class={invalid ? "row invalid" : "row"}>
      <label for={id}>{label}{needed && <span class="needed"> needed</span>}</label>
      <span class="entry">
        {input({ id, describedBy, invalid })}
        {suffix && <span class="suffix" aria-hidden="true">{suffix}</span>}
      </span>
      {mine.length > 0 && <Problems list={mine} id={`${id}-problems`} />}
      {help && <p class="help" id={`${id}-help`}>{help}</p>}
      {children}
    </div>
  );
}

interface InputProps {
  readonly path: Path;
  readonly ids: { id: string; describedBy: string; invalid: boolean };
  readonly show: (value: Json | undefined) => string;
  readonly read: (typed: string) => Json | undefined;
  readonly usual?: string;
  readonly mode?: "text" | "numeric" | "decimal";
  readonly length?: number;
  readonly lines?: boolean;
  readonly first?: () => void; // what is written before what is typed
}

type Typing = { readonly currentTarget: HTMLInputElement | HTMLTextAreaElement };

// While a hand is in the field it shows what is typed; then what the document says.
export function TextInput({ path, ids, show, read, usual, mode, length, lines, first }: InputProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const said = {
    id: ids.id, value: typed ?? show(at(draft.value, path)), placeholder: usual, maxLength: length,
    "aria-describedby": ids.describedBy || undefined, "aria-invalid": ids.invalid ? ("true" as const) : undefined,
    onFocus: (event: Typing) => setTyped(event.currentTarget.value),
    onInput: (event: Typing) => {
      setTyped(event.currentTarget.value);
      first?.();
      change(path, read(event.currentTarget.value), false);
    },
    onBlur: () => {
      change(path, at(draft.value, path), true);
      setTyped(null);
    },
  };
  if (lines) return <textarea rows={3} {...said} />;
  return (
    <input type="text" inputMode={mode ?? "text"} autocomplete="off" spellcheck={false} {...said}
      onKeyDown={(event) => {
        if (event.key === "Enter") change(path, at(draft.value, path), true);
      }} />
  );
}

export const asMeasure = {
  show: (value: Json | undefined): string => shownMeasure(value, documentUnit.value, unit.value),
  read: (typed: string): Json | undefined => writtenMeasure(typed, documentUnit.value, unit.value),
};
const asText = {
  show: (value: Json | undefined): string => (value === undefined ? "" : String(value)),
  read: (typed: string): Json | undefined => (typed.trim() === "" ? undefined : typed),
};
const asNumber = {
  show: asText.show,
  read: (typed: string): Json | undefined => {
    const text = typed.trim();
    return text === "" ? undefined : /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : text;
  },
};

/** Shown as it is written, in the job's own unit: areas, from-to areas, thicknesses of leather. */
const asWritten = {
  show: (value: Json | undefined): string => (isObject(value) ? `${String(value["low"] ?? "")}-${String(value["high"] ?? "")}` : asText.show(value)),
  read: (typed: string): Json | undefined => asNumber.read(typed),
};

function suffixOf(field: Field): { readonly suffix?: string } {
  switch (field.node["x-quantity"]) {
    case "area": return { suffix: documentArea.value === "ft2" ? "ft²" : "m²" };
    case "leather": return { suffix: documentLeather.value };
    case "money": return currency.value === "" ? {} : { suffix: currency.value };
    default: return {};
  }
}

interface FieldProps {
  readonly schema: Schema;
  readonly path: Path; // of the field itself
  readonly field: Field;
  readonly kind?: Json | undefined; // what the kind of seat says, for a chair that differs
}

/** What a field holds that is left out, as a person reads it; "" when the schema does not say. */
function usualText(field: Field): string {
  const usual = field.node["x-usual"];
  if (typeof usual === "string") return usual.replaceAll("`", "");
  const value = usual?.[documentUnit.value] ?? field.node.default;
  if (value === undefined) return "";
  if (typeof value === "boolean") return value ? "yes" : "no";
  return field.kind === "measure" || field.kind === "sides"
    ? shownMeasure(usual ? exactLength(value as number * MM_PER[documentUnit.value], documentUnit.value) : value, documentUnit.value, unit.value)
    : String(value);
}

/** What is shown in an empty field: the kind's value for a chair, else what is usual. */
function usualOf(field: Field, kind: Json | undefined, inChair: boolean): string {
  if (kind !== undefined && !isObject(kind) && !Array.isArray(kind)) {
    return field.kind === "measure" || field.kind === "sides" ? asMeasure.show(kind)
      : typeof kind === "boolean" ? (kind ? "yes" : "no") : String(kind);
  }
  if (inChair && isObject(kind)) return "as its kind";
  if (field.needed) return "";
  const text = usualText(field);
  return text === "" ? (inChair ? "as its kind" : "") : `as usual: ${text}`;
}

export function FieldRow({ schema, path, field, kind }: FieldProps) {
  const inChair = path.includes("chairs");
  const usual = usualOf(field, kind, inChair);
  const row = { path, label: field.label, help: field.help, needed: field.needed };
  switch (field.kind) {
    case "measure":
      return <Row {...row} suffix={unit.value} input={(ids) =>
        <TextInput path={path} ids={ids} usual={usual} {...asMeasure} />} />;
    case "written":
      return <Row {...row} {...suffixOf(field)} also={problems.value.filter((one) => one.where.startsWith(`${pathText(path)}.`))}
        input={(ids) => <TextInput path={path} ids={ids} usual={usual} {...asWritten} />} />;
    case "sides":
      return <SidesRow schema={schema} path={path} field={field} kind={kind} />;
    case "words":
      return <Row {...row} input={(ids) => <Words path={path} ids={ids} words={field.words} usual={usual} />} />;
    case "yes":
      return <Row {...row} input={(ids) => <Words path={path} ids={ids} words={["yes", "no"]} usual={usual} yes />} />;
    case "whole":
    case "number":
      return <Row {...row} {...suffixOf(field)} input={(ids) => <TextInput path={path} ids={ids} usual={usual} mode="numeric" {...asNumber} />} />;
    case "text":
      return <Row {...row} input={(ids) => <TextInput path={path} ids={ids} usual={usual}
        length={field.node.maxLength ?? 4000} lines={(field.node.maxLength ?? 0) > 200} {...asText} />} />;
    case "object":
      return field.key === "notches" ? <Corners schema={schema} path={path} field={field} kind={kind} /> : null;
    case "list":
      return field.key === "outline" ? <Traced path={path} field={field} /> : null;
  }
}

function Words({ path, ids, words, usual, yes }: Pick<InputProps, "path" | "ids"> &
  { readonly words: readonly string[]; readonly usual: string; readonly yes?: boolean }) {
  const value = at(draft.value, path);
  const shown = yes && typeof value === "boolean" ? (value ? "yes" : "no") : value === undefined ? "" : String(value);
  return (
    <select id={ids.id} value={shown} aria-describedby={ids.describedBy || undefined} aria-invalid={ids.invalid ? "true" : undefined}
      onChange={(event) => {
        const chosen = event.currentTarget.value;
        change(path, chosen === "" ? undefined : yes ? chosen === "yes" : chosen, true);
      }}>
      <option value="">{usual || "choose"}</option>
      {shown !== "" && !words.includes(shown) && <option value={shown}>{shown}</option>}
      {words.map((word) => <option key={word} value={word}>{word}</option>)}
    </select>
  );
}

// One value for all sides or corners, or one for each.
function SidesRow({ path, field, kind }: FieldProps) {
  const value = at(draft.value, path);
  const each = isObject(value);
  const where = pathText(path);
  const usual = usualOf(field, kind, path.includes("chairs"));
  const group = useId();
  const parts = each ? [...("all" in value ? ["all"] : []), ...field.words] : [];
  const round = field.words.includes("front") ? "for each side" : "for each corner";
  const spread = (): void => {
    const one = value ?? kind;
    change(path, typeof one === "string" || typeof one === "number" ? { all: one } : { all: 0 }, true);
  };
  const gather = (): void => {
    const all = each ? value["all"] ?? value[field.words[0] ?? ""] : undefined;
    change(path, all, true);
  };
  const button = (
    <button type="button" class="link" onClick={each ? gather : spread}>
      {each ? `One for all` : `Another ${round}`}<span class="unseen"> – {field.label}</span>
    </button>
  );
  if (!each) {
    return (
      <Row path={path} label={field.label} help={field.help} needed={field.needed} suffix={unit.value}
        also={problems.value.filter((one) => one.where.startsWith(`${where}.`))}
        input={(ids) => <TextInput path={path} ids={ids} usual={usual} {...asMeasure} />}>
        {button}
      </Row>
    );
  }
  const rest = "all" in value ? asMeasure.show(value["all"]) : "";
  return (
    <fieldset class="sides" aria-describedby={`${group}-help`}>
      <legend>{field.label}</legend>
      <p class="help" id={`${group}-help`}>{field.help}</p>
      <div class="parts">
        {parts.map((part) => (
          <Row key={part} path={[...path, part]} label={part === "all" ? "All others" : labelOf(part)} help="" needed={false}
            suffix={unit.value} input={(ids) => <TextInput path={[...path, part]} ids={ids} usual={part === "all" ? "" : rest} {...asMeasure} />} />
        ))}
      </div>
      {button}
    </fieldset>
  );
}

function Corners({ schema, path, field, kind }: FieldProps) {
  const value = at(draft.value, path);
  const corners = Object.entries(field.node.properties ?? {});
  const first = documentUnit.value === "mm" ? 25 : 1; // to be measured, not left
  return (
    <fieldset class="sides">
      <legend>{field.label}</legend>
      <p class="help">{field.help}{path.includes("chairs") && " Tick a corner that differs from its kind; 0 by 0 is none."}</p>
      {corners.map(([corner, node]) => {
        const here = [...path, corner];
        const cut = isObject(value) && corner in value;
        const kinds = at(kind, [corner]);
        const id = idOf(`${pathText(here)}-cut`);
        return (
          <div key={corner} class="corner">
            <label class="tick" for={id}>
              <input id={id} type="checkbox" checked={cut} onChange={() =>
                change(here, cut ? undefined : isObject(kinds) ? kinds : { width: first, depth: first }, true)} />
              {labelOf(corner)}
              {!cut && isObject(kinds) && <span class="help"> as its kind: {asMeasure.show(kinds["width"])} × {asMeasure.show(kinds["depth"])}</span>}
            </label>
            {cut && <div class="parts">
              <Group schema={schema} definition={definitionOf(node) ?? ""} path={here} />
            </div>}
          </div>
        );
      })}
    </fieldset>
  );
}

const POINTS_SHOWN = 60;
const pointMeasure = { ...asMeasure, read: (typed: string): Json => asMeasure.read(typed) ?? "" }; // a cleared one stays, as a mistake

// The points of a traced edge, in their order; long traces come from a file and are seen in part.
function Traced({ path, field }: { readonly path: Path; readonly field: Field }) {
  const points = listAt(path);
  const where = pathText(path);
  const mine = problemsIn(where);
  const own = mine.filter((one) => one.where === where || /\[\d+\]$/.test(one.where.slice(where.length)) && !/\]\[/.test(one.where));
  const begin = (): void => {
    const [half, deep] = documentUnit.value === "mm" ? [225, 400] : [9, 16];
    change(path, [[-half, 0], [half, 0], [half, deep], [-half, deep]], true);
  };
  const add = (i: number): void => {
    const next = [...points];
    next.splice(i + 1, 0, points[i] ?? [0, 0]);
    change(path, next, true);
  };
  return (
    <fieldset class="sides" id={idOf(where)} tabindex={-1}>
      <legend>{field.label}</legend>
      <p class="help">{field.help}</p>
      {own.length > 0 && <Problems list={own} id={`${idOf(where)}-problems`} />}
      {points.length === 0 && <button type="button" onClick={begin}>Begin with four corners</button>}
      <ol class="points">
        {points.slice(0, POINTS_SHOWN).map((_, i) => (
          <li key={i} class="parts">
            {["x", "y"].map((letter, k) => (
              <Row key={letter} path={[...path, i, k]} label={`${i + 1} ${letter}`} help="" needed={false} suffix={unit.value}
                input={(ids) => <TextInput path={[...path, i, k]} ids={ids} {...pointMeasure} />} />
            ))}
            <span class="actions">
              <button type="button" class="quiet" onClick={() => add(i)}>Add<span class="unseen"> one behind point {i + 1}</span></button>
              <button type="button" class="quiet" onClick={() => change([...path, i], undefined, true)}>Take away<span class="unseen"> point {i + 1}</span></button>
            </span>
          </li>
        ))}
      </ol>
      {points.length > POINTS_SHOWN && <p class="help">And {points.length - POINTS_SHOWN} more, as they stand in the job’s file.</p>}
    </fieldset>
  );
}

interface GroupProps {
  readonly schema: Schema;
  readonly definition: string;
  readonly path: Path;
  readonly without?: readonly string[];
  readonly kind?: Json | undefined; // set for a chair: what it differs from
}

/** All fields of a definition that make sense now. */
export function Group({ schema, definition, path, without, kind }: GroupProps) {
  const value = at(draft.value, path);
  const whole = isObject(kind) ? { ...kind, ...(isObject(value) ? value : {}) } : value;
  return (
    <>
      {fieldsOf(schema, definition, whole).filter((field) => !without?.includes(field.key)).map((field) => (
        <FieldRow key={field.key} schema={schema} path={[...path, field.key]}
          field={kind === undefined ? field : { ...field, needed: false }} kind={isObject(kind) ? kind[field.key] : undefined} />
      ))}
    </>
  );
}
