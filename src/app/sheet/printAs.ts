/**
 * Prints another document than the page shows, whichever way the person asks for print. Just before, the document is put
 * into the page behind a shadow root, where the page's style does not reach it; just after, it is taken out again.
 * (Printing a frame by itself would be simpler, but not every browser can.)
 */

/** From now on print gives this HTML document, under this title. Returns the way back. */
export function printAs(html: string, title: string): () => void {
  let host: HTMLElement | undefined;
  let before: string | undefined;

  const put = (): void => {
    if (host) return;
    const source = new DOMParser().parseFromString(html, 'text/html');
    host = document.createElement('div');
    host.className = 'print-host';
    host.attachShadow({ mode: 'open' }).append(document.importNode(source.documentElement, true));
    // Page boxes count only in the document itself.
    const pages = document.createElement('style');
    pages.textContent = [...source.querySelectorAll('style')]
      .flatMap((style) => style.textContent.match(/@page[^{]*\{[^}]*\}/g) ?? [])
      .join('\n');
    host.append(pages);
    document.body.append(host);
    before = document.title;
    document.title = title;
  };
  const take = (): void => {
    host?.remove();
    host = undefined;
    if (before !== undefined) document.title = before;
    before = undefined;
  };

  window.addEventListener('beforeprint', put);
  window.addEventListener('afterprint', take);
  return () => {
    window.removeEventListener('beforeprint', put);
    window.removeEventListener('afterprint', take);
    take();
  };
}
