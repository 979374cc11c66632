// Pictures on cards and in lists: asked for when they come into sight.

import type { JSX, RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

type Find = () => Promise<JSX.Element | null>;

/** What `find` gives once the holder is in sight; null when there is nothing (yet). */
export function useInSight<E extends HTMLElement>(find: Find): [RefObject<E>, JSX.Element | null | undefined] {
  const holder = useRef<E>(null) as RefObject<E>;
  const [found, setFound] = useState<JSX.Element | null | undefined>(undefined);
  useEffect(() => {
    const place = holder.current;
    if (!place) return undefined;
    const watch = new IntersectionObserver((entries) => {
      if (!entries.some((entry) => entry.isIntersecting)) return;
      watch.disconnect();
      find().then(setFound, () => setFound(null));
    });
    watch.observe(place);
    return () => watch.disconnect();
  }, []);
  return [holder, found];
}

/** `find` gives what is drawn, or null when there is nothing yet. */
export function CardPicture({ find }: { readonly find: Find }) {
  const [holder, found] = useInSight<HTMLDivElement>(find);
  return <div ref={holder} class="picture">{found === null ? <span class="none">no drawing yet</span> : found}</div>;
}
