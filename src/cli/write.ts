/** Files that verbs write. */
import { writeFileSync } from 'node:fs';
import { WrongUsage } from './verb.ts';

export function writeFile(file: string, content: string | Uint8Array): void {
  try {
    writeFileSync(file, content);
  } catch (fault) {
    throw new WrongUsage(`${file} cannot be written (${(fault as NodeJS.ErrnoException).code ?? 'unknown reason'})`);
  }
}
