// Sharing in the workshop's network: the code by which a phone comes in, and who is in.

import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { askJson, Refused } from "./api";
import { Table } from "./table";
import { moment, refusalWords } from "./words";

const LOOK_EVERY_MS = 4000;

interface Device {
  readonly id: number;
  readonly name: string;
  readonly paired_ms: number;
  readonly seen_ms: number;
}
interface Shared {
  readonly shared: boolean;
  readonly addresses: readonly string[];
  readonly code: string | null;
  readonly lives_s: number;
  readonly devices: readonly Device[];
}

/** Whether these pages are seen over the network: such a device can put nobody else out. Until it is
 * known it is taken for true, so that nothing is offered that is then taken away. */
export const guest = signal(true);
askJson<{ guest: boolean }>("/api/about").then((about) => { guest.value = about.guest; }, () => undefined);

interface Act {
  readonly act: (address: string, method: "POST" | "DELETE", done: string) => void;
}

function Code({ now, act }: Act & { readonly now: Shared }) {
  const picture = useRef(0);
  const shown = useRef<string | null>(null);
  if (shown.current !== now.code) {
    shown.current = now.code;
    picture.current++; // another picture under another address
  }
  return (
    <section aria-labelledby="let-in" class="let-in">
      <h2 id="let-in">Let a device in</h2>
      {now.code === null ? <p>With a code, one phone or tablet in the workshop's network can open the same jobs.</p> : (
        <>
          <p>Point the phone's camera at the picture, or open the address in its browser and type the code.</p>
          <p class="code"><span class="unseen">Code: </span><strong>{now.code}</strong></p>
          <p class="help">It lets one device in, once, for another {Math.ceil(now.lives_s / 60)} min.</p>
          <ul class="cards">
            {now.addresses.map((address, i) => (
              <li key={address} class="card invitation">
                <img src={`/api/share/qr/${i + 1}?picture=${picture.current}`} alt={`QR code of ${address} with the code`} width="280" height="280" />
                <span class="name">{address}</span>
              </li>
            ))}
          </ul>
        </>
      )}
      <div class="actions">
        <button type="button" class="strong" onClick={() => act("/api/share/code", "POST", "A new code is shown.")}>
          {now.code === null ? "Show a code" : "Another code"}
        </button>
      </div>
    </section>
  );
}

function Devices({ now, act }: Act & { readonly now: Shared }) {
  return (
    <section aria-labelledby="devices">
      <h2 id="devices">Devices that are let in</h2>
      {now.devices.length === 0 ? <p>None.</p> : (
        <Table label="The list of them" head={["name", "let in", "last seen", ""]}
          rows={now.devices.map((one) => ({
            key: one.id,
            cells: [
              one.name, moment(one.paired_ms), moment(one.seen_ms),
              <button type="button" onClick={() => act(`/api/share/devices/${one.id}`, "DELETE", `${one.name} is put out.`)}>
                Put out<span class="unseen"> {one.name}</span></button>,
            ],
          }))} />
      )}
      <div class="actions">
        {now.devices.length > 1 && (
          <button type="button" onClick={() => act("/api/share/devices", "DELETE", "All devices are put out.")}>Put all out</button>
        )}
        {now.shared && (
          <button type="button" onClick={() => act("/api/share", "DELETE", "The workshop is not shared any more.")}>Stop sharing</button>
        )}
      </div>
    </section>
  );
}

export function Share() {
  const [now, setNow] = useState<Shared | null>(null);
  const [said, say] = useState("");
  const told = (error: unknown): void => say(error instanceof Refused && error.status === 403
    ? "Sharing is seen to at the workshop's own machine." : refusalWords(error));
  useEffect(() => {
    const look = (): void => { askJson<Shared>("/api/share").then(setNow, told); };
    look();
    const timer = setInterval(look, LOOK_EVERY_MS);
    return () => clearInterval(timer);
  }, []);
  const act: Act["act"] = (address, method, done) => {
    askJson<Shared>(address, { method }).then((next) => {
      setNow(next);
      say(done);
    }, told);
  };
  return (
    <main id="main" tabindex={-1} class="share">
      <h1>Share</h1>
      <p role="status" class={said ? "said" : "said unseen"}>{said}</p>
      {now && (now.shared ? (
        <>
          <p>The workshop is open in the network of this machine. What is sent there is not enciphered: whoever listens in that network can
            read it. Share it only in a network that you trust. Only devices that you let in see or change anything.</p>
          <Code now={now} act={act} />
        </>
      ) : (
        <p>The workshop is open on this machine only. To open the same jobs on a phone, close it with Ctrl-C and begin it again
          with <code>seatwright serve --share</code>.</p>
      ))}
      {now && <Devices now={now} act={act} />}
    </main>
  );
}
