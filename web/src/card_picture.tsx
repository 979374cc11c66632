// The picture on a card: asked for when the card comes into sight.

import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

/** `find` gives what is drawn, or null when there is nothing yet. */
export function CardPicture({ find }: { readonly find: () => Promise<JSX.Element | null> }) {
  const holder = useRef<HTMLDivElement>(null);
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
  return <div ref={holder} class="picture">{found === null ? <span class="none">no drawing yet</span> : found}</div>;
}
