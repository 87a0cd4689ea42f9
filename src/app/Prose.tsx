/** Markdown as a page of its own. The renderer escapes everything, so that a patch file can bring no script. */
import { useEffect, useRef } from 'react';
import { markdownHtml } from '../sheet/markdown.ts';

export function Prose({ source }: { readonly source: string }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (place.current) place.current.innerHTML = markdownHtml(source);
  }, [source]);
  return <div ref={place} className="prose" />;
}
