/** Text that came from a document, made safe inside HTML and SVG, in text and in double-quoted attributes. */
export function escapeXml(text: string): string {
  return [...text].map((letter) => entities.get(letter) ?? (isAllowed(letter) ? letter : '\u{fffd}')).join('');
}

const entities = new Map([
  ['&', '&amp;'],
  ['<', '&lt;'],
  ['>', '&gt;'],
  ['"', '&quot;'],
  ["'", '&#39;'],
]);

/** Characters that XML 1.0 allows (section 2.2); others would break the picture. */
function isAllowed(letter: string): boolean {
  const code = letter.codePointAt(0) ?? 0;
  return code >= 32 ? !(code >= 0xd800 && code <= 0xdfff) && code !== 0xfffe && code !== 0xffff : code === 9 || code === 10 || code === 13;
}
