/** What keeps sound or voltage from getting anywhere. */
import type { FlowSpec } from '../../patch/blockSpec.ts';
import { settingValue } from '../../patch/settings.ts';
import { isExcused, levelAtZero, missingNeed, noSoundFile, nothingPatched, shutFlow, soundsAlone } from '../signalPath.ts';
import { inputSpec, type KnownBlock, restsAtZero, sourceOf, type Wired } from '../wired.ts';
import { blocksOf, isAnyUsed, isPatched, isUsed } from './look.ts';
import type { Drawing, DrawingRule, Found } from './rule.ts';

const ofSilence =
  (id: string) =>
  ({ silent }: Drawing): readonly Found[] =>
    silent.filter((finding) => finding.id === id);

export const silentRules: readonly DrawingRule[] = [
  {
    id: 'no-output',
    severity: 'error',
    kind: 'drawing',
    about: 'The patch has blocks and no output.',
    howToFix: 'Place an output and run a cable to it.',
    check: ofSilence('no-output'),
  },
  {
    id: 'output-unpatched',
    severity: 'error',
    kind: 'drawing',
    about: 'Nothing is patched to an output.',
    howToFix: 'Run a cable to one of its inputs.',
    check: ofSilence('output-unpatched'),
  },
  {
    id: 'only-itself',
    severity: 'error',
    kind: 'drawing',
    about: 'All that reaches the output goes round in a loop that nothing enters.',
    howToFix: 'Bring a sound or a voltage into the loop from outside.',
    check: ofSilence('only-itself'),
  },
  {
    id: 'shut',
    severity: 'warning',
    kind: 'drawing',
    about: 'An amplifier that rests closed with a signal waiting in front of it; an error where nothing can be heard for it.',
    howToFix: 'Turn its level up, or patch an envelope to its control input.',
    check: ({ wired }) =>
      blocksOf(wired).flatMap((known) =>
        (known.spec.flows ?? []).flatMap(({ shutWhen, from, to }) => {
          if (!shutWhen || !from.some((input) => isPatched(wired, known, input)) || !isUsed(wired, known, to)) return [];
          const closed = shutWhen.settingsAtZero.every((setting) => restsAtZero(wired, known, setting));
          const helped = shutWhen.unpatched.some((input) => isPatched(wired, known, input));
          return closed && !helped ? [shutFlow(known, shutWhen.say)] : [];
        }),
      ),
  },
  {
    id: 'needs-cable',
    severity: 'warning',
    kind: 'drawing',
    about: 'A block whose outputs are used and that stands still without a cable: a sequencer without a clock, an envelope without a gate.',
    howToFix: 'Patch what it waits for.',
    check: ({ wired }) =>
      blocksOf(wired).flatMap((known) =>
        (known.spec.needs ?? [])
          .filter((need) => !isPatched(wired, known, need.input) && !isExcused(wired, known, need) && isUsed(wired, known, need.outputs))
          .map((need) => missingNeed(known, need)),
      ),
  },
  {
    id: 'no-sound-file',
    severity: 'warning',
    kind: 'drawing',
    about: 'A player that is used and has no sound file.',
    howToFix: 'Choose one in its settings.',
    check: ({ wired }) => blocksOf(wired).flatMap((known) => (isAnyUsed(wired, known) ? (noSoundFile(known) ?? []) : [])),
  },
  {
    id: 'sound-file-missing',
    severity: 'warning',
    kind: 'drawing',
    about: 'A sound file that the patch names and this notebook does not have.',
    howToFix: 'Choose the file again.',
    check: missingSoundFiles,
  },
  {
    id: 'no-input',
    severity: 'warning',
    kind: 'drawing',
    about: 'A block that works on a signal and has none: a filter or an amplifier with nothing in it.',
    howToFix: 'Patch a signal to it, or take it away.',
    check: ({ wired }) =>
      blocksOf(wired).flatMap((known) =>
        (known.spec.flows ?? []).flatMap((flow) => {
          // a return that is left empty beside inputs that are not
          const silent = flow.to.filter(
            (output) => !(known.spec.flows ?? []).some((other) => other.to.includes(output) && speaks(wired, known, other)),
          );
          return silent.length === 0 || !isUsed(wired, known, silent) ? [] : [nothingPatched(known, flow)];
        }),
      ),
  },
  {
    id: 'level-zero',
    severity: 'hint',
    kind: 'drawing',
    about: 'A cable into an input whose level is 0; an error where nothing can be heard for it.',
    howToFix: 'Turn the level up, or take the cable off.',
    check: ({ wired }) =>
      blocksOf(wired).flatMap((known) =>
        (known.spec.flows ?? []).flatMap((flow) =>
          Object.entries(flow.levels ?? {}).flatMap(([input, level]) => {
            const source = sourceOf(wired, known.block.id, input);
            return source && restsAtZero(wired, known, level) && isUsed(wired, known, flow.to)
              ? [{ ...levelAtZero(wired, known, level, source), severity: 'hint' as const }]
              : [];
          }),
        ),
      ),
  },
];

/** Can something come in by this flow? */
function speaks(wired: Wired, known: KnownBlock, flow: FlowSpec): boolean {
  if (soundsAlone(wired, known, flow)) return true;
  return flow.from.some((id) => {
    const input = inputSpec(known.spec, id);
    return isPatched(wired, known, id) || Boolean(input?.normal) || input?.normalSay !== undefined;
  });
}

function missingSoundFiles({ wired, missing }: Drawing): readonly Found[] {
  const gone = new Map((wired.patch.recordings ?? []).filter(({ sha256 }) => missing.has(sha256)).map(({ id, name }) => [id, name]));
  return blocksOf(wired).flatMap(({ block, spec, label }) =>
    spec.settings.flatMap((setting): Found[] => {
      const name = setting.type === 'recording' ? gone.get(String(settingValue(block, setting))) : undefined;
      if (name === undefined) return [];
      const say = `The sound file "${name}" of ${label} is not in this notebook: choose it again in its settings.`;
      return [{ block: block.id, place: [block.id, setting.id], say }];
    }),
  );
}
