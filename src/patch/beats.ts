/** Where the beats of a patch come from. */
import type { Catalogue } from './blockSpec.ts';
import type { Patch, Place } from './document.ts';
import { signalKinds } from './signalKind.ts';

/** The beat of the first clock; undefined where there is none. */
export function clockOutput({ blocks }: Pick<Patch, 'blocks'>, catalogue: Catalogue): Place | undefined {
  for (const { id, type } of blocks) {
    const beats = catalogue.get(type)?.beats;
    if (beats !== undefined) return [id, beats];
  }
  return undefined;
}

/** All outputs that put out gates, or pass gates on to a cable, in the order of the blocks: any of them may be stepped along. */
export function gateOutputs({ blocks, cables }: Pick<Patch, 'blocks' | 'cables'>, catalogue: Catalogue): Place[] {
  const kinds = signalKinds({ blocks, cables }, catalogue);
  return blocks.flatMap(({ id, type }) =>
    (catalogue.get(type)?.outputs ?? [])
      .filter((output) => (kinds.get(`${id}.${output.id}`) ?? output.kind) === 'gate')
      .map((output): Place => [id, output.id]),
  );
}
