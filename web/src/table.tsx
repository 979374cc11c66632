// A table that scrolls by itself when it is wider than its place, so that the page never does. With
// many columns a phone shows it row by row instead, each value after the head of its column, since
// what stands beyond the edge is not read.

import type { ComponentChildren } from "preact";

/** The head of a column, and a class for it and its values. */
export type Head = string | { readonly name: string; readonly class: string };

export interface Row {
  readonly key: string | number;
  readonly class?: string | undefined;
  /** One for each head; the first is the head of the row. */
  readonly cells: readonly ComponentChildren[];
}

interface Props {
  readonly label: string;
  readonly caption?: ComponentChildren;
  readonly class?: string;
  readonly head: readonly Head[];
  readonly rows: readonly Row[];
  /** Whether a phone shows it row by row; as usual with more than three columns. */
  readonly byRow?: boolean;
}

const FIT_A_PHONE = 3; // columns

const nameOf = (head: Head | undefined): string => (typeof head === "object" ? head.name : head ?? "");
const classOf = (head: Head | undefined): string | undefined => (typeof head === "object" ? head.class : undefined);

export function Table({ label, caption, class: kind, head, rows, byRow = head.length > FIT_A_PHONE }: Props) {
  return (
    <div class={byRow ? "wide byrow" : "wide"} role="region" aria-label={label} tabindex={0}>
      <table class={kind}>
        {caption}
        <thead>
          <tr>{head.map((one, i) => (nameOf(one) === "" ? <td key={i} /> : <th scope="col" class={classOf(one)} key={i}>{nameOf(one)}</th>))}</tr>
        </thead>
        <tbody>
          {rows.map(({ key, class: sort, cells: [first, ...others] }) => (
            <tr key={key} class={sort}>
              <th scope="row">{first}</th>
              {others.map((cell, i) => <td key={i} class={classOf(head[i + 1])} data-head={nameOf(head[i + 1])}>{cell}</td>)}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
