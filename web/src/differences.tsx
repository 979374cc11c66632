// What differs between two documents of a job, as a table.

import { differences, type JsonObject } from "./document";

const SHOWN = 12;

interface Compared {
  readonly mine: JsonObject;
  readonly theirs: JsonObject;
  readonly mineIs: string; // what the columns are called
  readonly theirsIs: string;
}

export function Differences({ mine, theirs, mineIs, theirsIs }: Compared) {
  const list = differences(mine, theirs);
  if (list.length === 0) return <p>Nothing differs.</p>;
  return (
    <>
      <div class="wide" tabindex={0} role="region" aria-label="What differs">
        <table class="differences">
          <thead><tr><th scope="col">where</th><th scope="col">{mineIs}</th><th scope="col">{theirsIs}</th></tr></thead>
          <tbody>
            {list.slice(0, SHOWN).map((one) => (
              <tr key={one.where}><th scope="row">{one.where}</th><td>{one.mine}</td><td>{one.theirs}</td></tr>
            ))}
          </tbody>
        </table>
      </div>
      {list.length > SHOWN && <p>And {list.length - SHOWN} more.</p>}
    </>
  );
}
