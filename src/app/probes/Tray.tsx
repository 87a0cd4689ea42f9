/** Scopes and spectra of the clipped probes. */
export function Tray() {
  return null;
}
