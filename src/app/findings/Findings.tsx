/** What the patch checks found, on the lower edge of the sketch. */
export function Findings() {
  return null;
}
