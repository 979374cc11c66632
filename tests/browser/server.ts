// A server with an empty workshop file, for one test file.

import { spawn, type ChildProcess } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export interface Server {
  readonly address: string;
  readonly close: () => Promise<void>;
}

const program = process.env["SEATWRIGHT"] ?? "build-test/seatwright";

function addressOf(child: ChildProcess): Promise<string> {
  return new Promise((found, failed) => {
    let printed = "";
    child.stdout?.on("data", (bytes: Buffer) => {
      printed += bytes.toString();
      const match = /http:\/\/[0-9.]+:\d+/.exec(printed);
      if (match) found(match[0]);
    });
    child.on("error", failed);
    child.on("exit", (status) => failed(new Error(`the server ended with ${status}: ${printed}`)));
  });
}

/** `words` are more for `seatwright serve`. */
export async function serve(...words: readonly string[]): Promise<Server> {
  const folder = mkdtempSync(join(tmpdir(), "seatwright-pages-"));
  const child = spawn(program, ["serve", "--workshop", join(folder, "workshop.db"), "--port", "0", ...words],
    { stdio: ["ignore", "pipe", "inherit"] });
  const address = await addressOf(child);
  const close = async (): Promise<void> => {
    const ended = new Promise((done) => child.on("exit", done));
    child.kill("SIGINT");
    await ended;
    rmSync(folder, { recursive: true, force: true });
  };
  return { address, close };
}
