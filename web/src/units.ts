// Measures as people write them, shown in the units they like. The program itself reads what is
// typed (src/base/number.c); this only turns a reading that is already good into the other unit
// for the eye, and what it does not understand stays as it was written.

export type LengthUnit = "in" | "mm";

export const MM_PER = { in: 25.4, mm: 1, oz: 25.4 / 64 } as const;
// All that may be written behind a number.
const MM_PER_WORD: Readonly<Record<string, number>> = {
  ...MM_PER, inch: 25.4, inches: 25.4, '"': 25.4, "″": 25.4,
  ft: 304.8, foot: 304.8, feet: 304.8, "'": 304.8, "′": 304.8,
  cm: 10, m: 1000,
};
/** Of the unit of areas that goes with a unit of lengths: square feet, square metres. */
export const MM2_PER: Readonly<Record<LengthUnit, number>> = { in: 304.8 ** 2, mm: 1e6 };
/** As finely as a hand can set a length: an eighth of an inch, or a millimetre. */
export const leastMm = (unit: LengthUnit): number => (unit === "in" ? MM_PER.in / 8 : MM_PER.mm);

const SIGNS: Readonly<Record<string, number>> = {
  "½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8, "⅓": 1 / 3, "⅔": 2 / 3,
};
const PARTS = 16; // the tape's sixteenths

export interface Measure {
  readonly value: number;
  readonly unit: string | null; // as written, without its full stop
}

/** A reading in its parts, or null: `18 1/2`, `18-1/2 in`, `18½"`, `18,5`, `-3/8`. */
export function readMeasure(text: string): Measure | null {
  const match = /^\s*([-+]?)\s*(.*?)\s*(in\.?|inch|inches|"|″|ft|foot|feet|'|′|mm|cm|m|oz)?\s*$/.exec(text);
  if (!match) return null;
  const size = readNumber(match[2] ?? "");
  if (size === null) return null;
  return { value: match[1] === "-" ? -size : size, unit: match[3]?.replace(".", "") ?? null };
}

function readNumber(text: string): number | null {
  if (/^(\d+([.,]\d+)?|[.,]\d+)$/.test(text)) return Number(text.replace(",", "."));
  const sign = /^(\d+)? *([½¼¾⅛⅜⅝⅞⅓⅔])$/.exec(text);
  if (sign) return Number(sign[1] ?? 0) + (SIGNS[sign[2] ?? ""] ?? 0);
  const parts = /^(?:(\d+)[ -]+)?(\d+)\/(\d+)$/.exec(text);
  if (!parts || Number(parts[3]) === 0) return null;
  return Number(parts[1] ?? 0) + Number(parts[2]) / Number(parts[3]);
}

/** Millimetres of what stands in a document whose bare numbers are in `unit`, or null. */
export function toMm(written: unknown, unit: LengthUnit): number | null {
  if (typeof written === "number") return written * MM_PER[unit];
  if (typeof written !== "string") return null;
  const measure = readMeasure(written);
  return measure && measure.value * (MM_PER_WORD[measure.unit ?? unit] ?? 1);
}

function decimal(value: number, digits: number): string {
  return String(Number(value.toFixed(digits)));
}

/** The same length, as exactly as a field shows it. */
export function exactLength(mm: number, unit: LengthUnit): string {
  if (unit === "mm") return decimal(mm, 2);
  const parts = (mm / 25.4) * 64;
  return Math.abs(parts - Math.round(parts)) < 0.002 ? fraction(Math.round(parts), 64) : decimal(mm / 25.4, 3);
}

/** A length for reading on a tape: sixteenths of an inch, or whole millimetres. */
export function tapeLength(mm: number, unit: LengthUnit): string {
  return unit === "mm" ? decimal(mm, 0) : fraction(Math.round((mm / 25.4) * PARTS), PARTS);
}

function fraction(count: number, of: number): string {
  const sign = count < 0 ? "-" : "";
  let above = Math.abs(count);
  let below = of;
  while (above % 2 === 0 && below > 1) {
    above /= 2;
    below /= 2;
  }
  const whole = Math.floor(above / below);
  const rest = above % below;
  if (rest === 0) return `${sign}${whole}`;
  return whole === 0 ? `${sign}${rest}/${below}` : `${sign}${whole} ${rest}/${below}`;
}

export function showArea(mm2: number, unit: LengthUnit): string {
  return unit === "mm" ? `${decimal(mm2 / MM2_PER.mm, 3)} m²` : `${decimal(mm2 / MM2_PER.in, 2)} ft²`;
}

/** What a field shows of a written value. */
export function shownMeasure(written: unknown, documentUnit: LengthUnit, unit: LengthUnit): string {
  if (written === undefined || written === null) return "";
  const text = String(written);
  const measure = readMeasure(text);
  if (!measure) return text;
  const own = measure.unit ?? documentUnit;
  if (own === unit || (unit === "in" && MM_PER_WORD[own] === 25.4)) {
    return text.replace(/\s*(in\.?|inch|inches|"|″|mm)\s*$/, "").trim();
  }
  return exactLength(measure.value * (MM_PER_WORD[own] ?? 1), unit);
}

/** What the document keeps of what was typed into a field that shows `unit`. */
export function writtenMeasure(typed: string, documentUnit: LengthUnit, unit: LengthUnit): string | number | undefined {
  const text = typed.trim();
  if (text === "") return undefined;
  const measure = readMeasure(text);
  if (!measure) return text;
  if (measure.unit === null && unit !== documentUnit) return `${text} ${unit}`;
  return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : text;
}
