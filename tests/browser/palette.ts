// PNG pictures with at most 256 colours, so that a guide's pictures are small enough to be kept
// beside its text. Source: PNG specification (W3C recommendation, 3rd edition), sections 9 and 11.

import { deflateSync, inflateSync } from "node:zlib";

const SIGNATURE = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const COLOURS_MAX = 256;
const CHANNELS = 3;

interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

function paeth(left: number, up: number, corner: number): number {
  const guess = left + up - corner;
  const [byLeft, byUp, byCorner] = [Math.abs(guess - left), Math.abs(guess - up), Math.abs(guess - corner)];
  return byLeft <= byUp && byLeft <= byCorner ? left : byUp <= byCorner ? up : corner;
}

// What a browser writes: 8 bits, RGB or RGBA, not interlaced.
function decode(png: Buffer): Pixels {
  const [width, height, kind] = [png.readUInt32BE(16), png.readUInt32BE(20), png[25]];
  const bytes = kind === 6 ? 4 : 3;
  const packed: Buffer[] = [];
  for (let at = 8; at < png.length;) {
    const length = png.readUInt32BE(at);
    if (png.toString("latin1", at + 4, at + 8) === "IDAT") packed.push(png.subarray(at + 8, at + 8 + length));
    at += length + 12;
  }
  const raw = inflateSync(Buffer.concat(packed));
  const row = width * bytes;
  const plain = new Uint8Array(row * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (row + 1)] ?? 0;
    for (let x = 0; x < row; x++) {
      const left = x >= bytes ? plain[y * row + x - bytes] ?? 0 : 0;
      const up = y > 0 ? plain[(y - 1) * row + x] ?? 0 : 0;
      const corner = x >= bytes && y > 0 ? plain[(y - 1) * row + x - bytes] ?? 0 : 0;
      const add = [0, left, up, (left + up) >> 1, paeth(left, up, corner)][filter] ?? 0;
      plain[y * row + x] = ((raw[y * (row + 1) + 1 + x] ?? 0) + add) & 0xff;
    }
  }
  const rgb = new Uint8Array(width * height * CHANNELS);
  for (let i = 0; i < width * height; i++) {
    for (let c = 0; c < CHANNELS; c++) rgb[i * CHANNELS + c] = plain[i * bytes + c] ?? 0;
  }
  return { width, height, rgb };
}

const apart = (a: number, b: number): number =>
  Math.abs((a >> 16) - (b >> 16)) + Math.abs(((a >> 8) & 255) - ((b >> 8) & 255)) + Math.abs((a & 255) - (b & 255));

// The colours that most pixels have, but for those that are all but another one; every other
// pixel takes the nearest of them.
function reduce(pixels: Pixels): { palette: number[]; places: Uint8Array } {
  const colours = new Uint32Array(pixels.width * pixels.height);
  const counts = new Map<number, number>();
  for (let i = 0; i < colours.length; i++) {
    const colour = ((pixels.rgb[i * 3] ?? 0) << 16) | ((pixels.rgb[i * 3 + 1] ?? 0) << 8) | (pixels.rgb[i * 3 + 2] ?? 0);
    colours[i] = colour;
    counts.set(colour, (counts.get(colour) ?? 0) + 1);
  }
  const ranked = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0]).map(([colour]) => colour);
  const palette: number[] = [];
  for (let least = ranked.length > COLOURS_MAX ? 18 : 1; palette.length < COLOURS_MAX && least >= 1; least = Math.floor(least / 2)) {
    for (const colour of ranked) {
      if (palette.length < COLOURS_MAX && palette.every((kept) => apart(kept, colour) >= least)) palette.push(colour);
    }
  }
  const nearest = new Map(ranked.map((colour) => {
    const best = palette.reduce((found, kept, i) => (apart(kept, colour) < apart(palette[found] ?? 0, colour) ? i : found), 0);
    return [colour, best] as const;
  }));
  return { palette, places: Uint8Array.from(colours, (colour) => nearest.get(colour) ?? 0) };
}

const CRC = Uint32Array.from({ length: 256 }, (_, start) => {
  let value = start;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  return value;
});
const crcOf = (bytes: Buffer): number => ~bytes.reduce((crc, byte) => (CRC[(crc ^ byte) & 255] ?? 0) ^ (crc >>> 8), ~0) >>> 0;

function chunk(name: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crcOf(body), body.length + 4);
  return out;
}

/** The same picture with at most 256 colours. */
export function withPalette(png: Buffer): Buffer {
  const pixels = decode(png);
  const { palette, places } = reduce(pixels);
  const head = Buffer.alloc(13);
  head.writeUInt32BE(pixels.width, 0);
  head.writeUInt32BE(pixels.height, 4);
  head.set([8, 3, 0, 0, 0], 8);
  const rows = Buffer.alloc((pixels.width + 1) * pixels.height);
  for (let y = 0; y < pixels.height; y++) {
    rows.set(places.subarray(y * pixels.width, (y + 1) * pixels.width), y * (pixels.width + 1) + 1);
  }
  const colours = Buffer.from(palette.flatMap((colour) => [colour >> 16, (colour >> 8) & 255, colour & 255]));
  return Buffer.concat([SIGNATURE, chunk("IHDR", head), chunk("PLTE", colours),
    chunk("IDAT", deflateSync(rows, { level: 9 })), chunk("IEND", Buffer.alloc(0))]);
}
