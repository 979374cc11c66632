// What differs between two documents of a job, as a table.

import { at, differences, pathText, placeWords, type JsonObject } from "./document";
import { Table } from "./table";

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
      <Table label="What differs" class="differences" byRow head={["where", mineIs, theirsIs]}
        rows={list.slice(0, SHOWN).map((one) => ({ key: pathText(one.path), cells: [placeWords(one.path, at(mine, one.path) === undefined ? theirs : mine), one.mine, one.theirs] }))} />
      {list.length > SHOWN && <p>And {list.length - SHOWN} more.</p>}
    </>
  );
}
