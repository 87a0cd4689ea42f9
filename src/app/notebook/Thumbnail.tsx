/** The patch as a tiny drawing, made when it comes into view and the page has nothing else to do. */
import { useEffect, useRef } from 'react';
import type { Patch } from '../../patch/document.ts';
import { drawingSvg } from '../../sheet/drawing/toSvg.ts';
import { type App, useApp } from '../app.ts';
import { whenIdle } from '../findings/checks.ts';

const drawn = new WeakMap<Patch, string>();

/** From this many blocks on a thumbnail would only be a grey patch. */
const MOST_BLOCKS = 150;

export function Thumbnail({ patch }: { readonly patch: Patch }) {
  const app = useApp();
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const element = place.current;
    if (!element) return;
    let callOff: (() => void) | undefined;
    const draw = (): void => {
      element.innerHTML = svgOf(patch, app);
    };
    if (drawn.has(patch)) draw();
    else
      callOff = onceSeen(element, () => {
        callOff = whenIdle(draw);
      });
    return () => callOff?.();
  }, [patch, app]);
  return <div ref={place} className="thumbnail" aria-hidden="true" />;
}

function svgOf(patch: Patch, { catalogue, symbols }: App): string {
  const known = drawn.get(patch);
  if (known !== undefined) return known;
  let svg = '';
  try {
    if (patch.blocks.length > 0 && patch.blocks.length <= MOST_BLOCKS)
      svg = drawingSvg(patch, catalogue, symbols, { theme: 'screen', margin: 6, idPrefix: 'thumbnail' });
  } catch {
    // An entry that cannot be read has no drawing; opening it says why.
  }
  drawn.set(patch, svg);
  return svg;
}

function onceSeen(element: Element, then: () => void): () => void {
  if (typeof IntersectionObserver === 'undefined') {
    then();
    return () => undefined;
  }
  const observer = new IntersectionObserver((entries) => {
    if (!entries.some((entry) => entry.isIntersecting)) return;
    observer.disconnect();
    then();
  });
  observer.observe(element);
  return () => observer.disconnect();
}
