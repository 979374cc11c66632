// How large the place of a drawing is, so that its letters and handles are as large as the page's.

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

export interface PlaceSize {
  readonly width: number; // px
  readonly height: number;
  readonly letter: number; // 1 with letters of 16 px
}

/** The place to hold on to, and its size as it is now; `first` until the browser has said it. */
export function useSize<E extends Element>(first: { readonly width: number; readonly height: number }): readonly [RefObject<E>, PlaceSize] {
  const holder = useRef<E>(null) as RefObject<E>;
  const [size, setSize] = useState<PlaceSize>({ ...first, letter: 1 });
  useEffect(() => {
    const place = holder.current;
    if (!place) return undefined;
    const watch = new ResizeObserver(([entry]) => {
      if (!entry || entry.contentRect.width === 0) return; // it is not shown
      const letter = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
      setSize({ width: entry.contentRect.width, height: entry.contentRect.height, letter });
    });
    watch.observe(place);
    return () => watch.disconnect();
  }, []);
  return [holder, size];
}
