/** Hands a file to the browser's own way of saving. */

/** A file name that every system takes, from a title: "Ferry lights" gives "ferry-lights.wav". */
export function fileName(title: string | undefined, ending: string): string {
  const stem = (title ?? '')
    .normalize('NFKD')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60);
  return `${stem || 'patch'}.${ending}`;
}

export function saveFile(name: string, content: Uint8Array<ArrayBuffer> | string, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The browser reads the address only after this turn.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
