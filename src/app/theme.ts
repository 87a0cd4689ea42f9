/** Puts the chosen theme on the page; "system" leaves the choice to the browser. */
import type { ViewStore } from './store/view.ts';

export function followTheme(view: ViewStore, page: HTMLElement): () => void {
  const put = (): void => {
    const { theme } = view.getState();
    if (theme === 'system') delete page.dataset.theme;
    else page.dataset.theme = theme;
  };
  put();
  return view.subscribe(put);
}
