// The places of a job, in the order of the work. A page that is to be one of them is imported
// here and stands in its line; the navigation and the addresses follow from the list.

import type { JSX } from "preact";
import { AtTheBench } from "./at_the_bench";
import { HidePage } from "./hide";
import { History } from "./history";
import { Layout } from "./layout";
import { LeatherPage } from "./leather";
import { PapersPage } from "./papers";
import { placeAddress } from "./route";
import type { Schema } from "./schema";
import { Seats } from "./seats";

/** What the page of a place is given; the job itself is in job.ts. */
export interface PlaceProps {
  readonly schema: Schema;
  /** The number behind the place: 2 in `#/jobs/3/seats/2`; 0 when there is none. */
  readonly part: number;
}

export interface Place {
  readonly word: string; // in the address: `#/jobs/3/leather`
  readonly name: string;
  readonly page: (props: PlaceProps) => JSX.Element;
  readonly alone?: true; // it finds what it needs by itself, and may do without the server
}

export const PLACES: readonly Place[] = [
  { word: "seats", name: "Seats", page: Seats },
  { word: "leather", name: "Leather", page: LeatherPage },
  { word: "hide", name: "Hides", page: HidePage },
  { word: "layout", name: "Layout", page: Layout },
  { word: "papers", name: "Papers", page: PapersPage },
  { word: "at-the-bench", name: "At the bench", page: AtTheBench, alone: true },
];

/** Pages of a job that are no step of the work. */
const ASIDE: readonly Place[] = [
  { word: "history", name: "History", page: History },
];

export const placeNamed = (word: string): Place | undefined => [...PLACES, ...ASIDE].find((one) => one.word === word);

/** The way through the work: every place of the open job. */
export function PlacesNav({ job, here }: { readonly job: number; readonly here: string }) {
  return (
    <nav class="places" aria-label="This job">
      <ol>
        {PLACES.map(({ word, name }) => (
          <li key={word}><a href={placeAddress(job, word)} aria-current={word === here ? "page" : undefined}>{name}</a></li>
        ))}
      </ol>
    </nav>
  );
}
