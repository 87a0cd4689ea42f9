/** Listening to the patch: live sound and takes. */
export function Transport() {
  return null;
}
