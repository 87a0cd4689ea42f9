/** Why nothing is kept, in plain sentences. */

export const FORGETFUL =
  'This browser does not let the page keep anything (a private window, or its storage is blocked). Everything works, but the notebook is gone when the page is closed: export what you want to keep.';

export function failureText(error: unknown): string {
  const full = error instanceof Error && error.name === 'QuotaExceededError';
  const why = full ? "the browser's storage is full" : "the browser's storage does not answer";
  return `The last edits are not kept, because ${why}. It is tried again; export the patch to be safe.`;
}
