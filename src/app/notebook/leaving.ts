/** Nothing is lost when the page goes away: a last writing, and a question where nothing could be kept. */
import type { Notebook } from './notebookTypes.ts';

/** Returns the way to stop. */
export function guardLeaving(notebook: Notebook, page: Window): () => void {
  const onHide = (): void => notebook.hide();
  const onVisibility = (): void => {
    if (page.document.visibilityState === 'hidden') notebook.hide();
  };
  const onUnload = (event: BeforeUnloadEvent): void => {
    if (notebook.atRisk()) event.preventDefault();
  };
  page.addEventListener('pagehide', onHide);
  page.document.addEventListener('visibilitychange', onVisibility);
  page.addEventListener('beforeunload', onUnload);
  return () => {
    page.removeEventListener('pagehide', onHide);
    page.document.removeEventListener('visibilitychange', onVisibility);
    page.removeEventListener('beforeunload', onUnload);
  };
}
