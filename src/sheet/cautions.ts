/** What every sheet says before anybody patches it. */
import type { Catalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { findSetting, settingValue } from '../patch/settings.ts';

export interface Caution {
  readonly about: string;
  readonly say: string;
}

const always: readonly Caution[] = [
  {
    about: 'Hardware',
    say:
      "Check in each module's own manual which voltages its inputs take before you patch this: the voltages here are common practice, not a promise. " +
      'Turn the power off before you touch ribbon cables.',
  },
  {
    about: 'Level',
    say: 'Start with the monitor level all the way down: a modular level is several times line level. Turn it down before you move a cable.',
  },
  {
    about: 'Hearing',
    say:
      'Loud sound harms for good, on headphones most of all. WHO and ITU (Recommendation ITU-T H.870) count 80 dB(A) for 40 hours a week as the most that is safe for adults; ' +
      'every 3 dB more halves the time.',
  },
  {
    about: 'Loudspeakers',
    say: 'Keep direct voltage and strong sound below 20 Hz away from loudspeakers: they move the cone without being heard.',
  },
];

/** The cautions for a patch: the general ones, and one where its output's ceiling is off. */
export function cautionsFor(patch: Patch, catalogue: Catalogue): Caution[] {
  const open = patch.blocks.filter((block) => {
    const spec = catalogue.get(block.type);
    const ceiling = spec?.bus && findSetting(spec, spec.bus.ceiling);
    return ceiling && settingValue(block, ceiling) === false;
  });
  return open.length === 0
    ? [...always]
    : [...always, { about: 'Ceiling', say: 'The ceiling of this patch is off: peaks reach full scale and clip.' }];
}
