/** The demo notebook: six patches of the harbour, which a new notebook begins with. */
import type { Catalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { JsonObject } from '../../patch/file/json.ts';
import { checkDocument } from '../../patch/file/read.ts';
import buoys from './buoys.patch.json';
import customsHouseBell from './customsHouseBell.patch.json';
import ferryLights from './ferryLights.patch.json';
import pilotsTune from './pilotsTune.patch.json';
import surfUnderTheWindow from './surfUnderTheWindow.patch.json';
import walkAlongTheQuay from './walkAlongTheQuay.patch.json';

// Types made from files carry `undefined` for fields that only other records have; the check below reads what is really there.
const documents = [
  ferryLights,
  walkAlongTheQuay,
  pilotsTune,
  customsHouseBell,
  buoys,
  surfUnderTheWindow,
] as unknown as readonly JsonObject[];

/** The patches in the order in which the notebook shows them. Throws when one does not fit the catalogue, which a test would have caught. */
export function demoPatches(catalogue: Catalogue): readonly Patch[] {
  return documents.map((document) => {
    const result = checkDocument(document, catalogue);
    if ('patch' in result) return result.patch;
    throw new Error(`the demo "${document.title}" is refused: ${result.problems.map(({ path, say }) => `${path}: ${say}`).join(' ')}`);
  });
}
