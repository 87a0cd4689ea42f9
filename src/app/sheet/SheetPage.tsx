/** The printable patch sheet of the open patch, shown as it comes out of the printer. */
import { useDeferredValue, useEffect, useMemo, useRef } from 'react';
import { sheetHtml } from '../../sheet/sheet.ts';
import { useApp, useSession } from '../app.ts';
import { fileName, saveFile } from '../saveFile.ts';
import { printAs } from './printAs.ts';
import './sheet.css';

export function SheetPage() {
  const { session, catalogue, symbols } = useApp();
  const patch = useDeferredValue(useSession((state) => state.patch));
  const title = patch.title || 'Untitled';
  const html = useMemo(() => sheetHtml(patch, catalogue, symbols), [patch, catalogue, symbols]);
  useEffect(() => printAs(html, title), [html, title]);

  const save = (): void => {
    const name = fileName(patch.title, 'html');
    saveFile(name, html, 'text/html');
    session.say(`Saved as ${name}.`);
  };

  return (
    <div className="sheet-page">
      <header className="sheet-head">
        <h1>Patch sheet</h1>
        <button type="button" className="main" onClick={() => window.print()}>
          Print
        </button>
        <button type="button" className="bordered" onClick={save}>
          Save as HTML
        </button>
      </header>
      <SheetFrame html={html} title={`Patch sheet of ${title}`} />
    </div>
  );
}

/**
 * The paper lies on this page, whatever its theme, instead of on a ground of its own. An invisible picture keeps the ground
 * clear: without any, the white of the paper would be taken for it.
 */
const onThePage =
  '<style>@media screen { html { color-scheme: light dark; background: linear-gradient(transparent, transparent); } body { color-scheme: light; } }</style>';

/** The sheet in a frame of its own, so that neither style touches the other, as tall as its content. No script runs in it. */
function SheetFrame({ html, title }: { readonly html: string; readonly title: string }) {
  const frame = useRef<HTMLIFrameElement>(null);
  useEffect(() => {
    const element = frame.current;
    if (!element) return;
    let watched: ResizeObserver | undefined;
    const measure = (): void => {
      const body = element.contentDocument?.body;
      if (!body) return;
      const margins = getComputedStyle(body);
      const height = body.offsetHeight + Number.parseFloat(margins.marginTop || '0') + Number.parseFloat(margins.marginBottom || '0');
      element.style.height = `${Math.ceil(height)}px`;
    };
    const onLoad = (): void => {
      watched?.disconnect();
      const body = element.contentDocument?.body;
      if (!body) return;
      watched = new ResizeObserver(measure);
      watched.observe(body);
      measure();
    };
    element.addEventListener('load', onLoad);
    element.srcdoc = html.replace('</head>', `${onThePage}</head>`);
    return () => {
      element.removeEventListener('load', onLoad);
      watched?.disconnect();
    };
  }, [html]);
  return <iframe ref={frame} className="sheet-frame" title={title} sandbox="allow-same-origin" />;
}
