/** Do two JSON-like values say the same? Key order does not matter; an undefined field is an absent one. */
export function sameData(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) || Array.isArray(b)) {
    return Array.isArray(a) && Array.isArray(b) && a.length === b.length && a.every((item, i) => sameData(item, b[i]));
  }
  const left: Record<string, unknown> = { ...a };
  const right: Record<string, unknown> = { ...b };
  return [...new Set([...Object.keys(left), ...Object.keys(right)])].every((key) => sameData(left[key], right[key]));
}
