/** What makes strokes come beside the beat. */
import { placeName } from '../../patch/document.ts';
import type { HeardPatch } from '../checks/heardPatch.ts';
import { blocksOf, gateConnections, isAnyUsed, numberOf, outputName, plain } from '../checks/look.ts';
import type { Finding } from '../finding.ts';
import type { KnownBlock } from '../wired.ts';
import { type Evidence, ofRules, type Reasons } from './complaint.ts';

/** An attack that takes longer is heard as late (our choice). */
const LATE_SECONDS = 0.05;

export function whyOffBeat({ take, found }: Evidence): Reasons {
  const findings = [
    ...ofRules(found, ['clocks-apart', 'gate-too-low', 'gate-never-falls', 'gate-at-audio-rate']),
    ...swung(take),
    ...delayed(take),
    ...byLot(take),
    ...ofRules(found, ['slow-gate']),
    ...rising(take),
    ...ofRules(found, ['envelope-no-peak', 'never-fires', 'gate-too-short']),
  ];
  const clocks = beating(take).map(({ known, perMinute }) => `${known.label} ${plain(perMinute)}`);
  const measured = clocks.length > 0 ? `Beats a minute: ${clocks.join(', ')}.` : 'Nothing in the patch beats by itself.';
  return { complaint: 'offBeat', say: findings.length > 0 ? measured : `${measured} I cannot tell what is off the beat.`, findings };
}

/** What drives gates and beats by itself, as measured or, where it beats too seldom, as set. */
function beating(take: HeardPatch): { readonly known: KnownBlock; readonly perMinute: number }[] {
  const drives = new Set(gateConnections(take.wired).map(({ source }) => source[0]));
  return blocksOf(take.wired).flatMap((known) => {
    const { tempo } = known.spec;
    if (!tempo || !drives.has(known.block.id)) return [];
    const setting = known.spec.settings.find(({ id }) => id === tempo.setting);
    const perMinute = numberOf(known, tempo.setting) * (setting?.type === 'number' && setting.unit === 'Hz' ? 60 : 1);
    return [{ known, perMinute }];
  });
}

function swung(take: HeardPatch): Finding[] {
  return blocksOf(take.wired).flatMap((known) => {
    const swing = known.spec.tempo?.swing;
    if (!swing || numberOf(known, swing.setting) === swing.even || !isAnyUsed(take.wired, known)) return [];
    const title = known.spec.settings.find(({ id }) => id === swing.setting)?.title ?? swing.setting;
    const place = [known.block.id, swing.setting] as const;
    const say = `"${title}" of ${known.label} is at ${plain(numberOf(known, swing.setting))}: every second stroke comes late.`;
    return [
      {
        id: 'swings',
        severity: 'hint' as const,
        block: known.block.id,
        place,
        say,
        fix: { label: 'Make it even', changes: [{ set: place, value: swing.even }] },
      },
    ];
  });
}

function delayed(take: HeardPatch): Finding[] {
  return blocksOf(take.wired).flatMap((known) => {
    const { gateDelay } = known.spec;
    const seconds = gateDelay === undefined ? 0 : numberOf(known, gateDelay);
    if (gateDelay === undefined || seconds <= 0 || !isAnyUsed(take.wired, known)) return [];
    const say = `${known.label} sends each gate ${plain(1000 * seconds)} ms after it came.`;
    return [{ id: 'delays-gates', severity: 'hint' as const, block: known.block.id, place: [known.block.id, gateDelay] as const, say }];
  });
}

/** Gates that are cast by lot. */
function byLot(take: HeardPatch): Finding[] {
  const sources = new Map(gateConnections(take.wired).map(({ source }) => [placeName(source), source]));
  const seen = new Set<string>();
  return [...sources.values()].flatMap((source) => {
    const known = take.wired.blocks.get(source[0]);
    const output = known?.spec.outputs.find(({ id }) => id === source[1]);
    if (!known?.spec.chancy || output?.kind !== 'gate' || known.spec.row || known.spec.pressed || seen.has(source[0])) return [];
    seen.add(source[0]);
    const say = `${outputName(take.wired, source)} comes by lot, so strokes are left out or fall elsewhere.`;
    return [{ id: 'gates-by-lot', severity: 'hint' as const, block: source[0], say }];
  });
}

function rising(take: HeardPatch): Finding[] {
  return blocksOf(take.wired).flatMap((known) => {
    const { envelope } = known.spec;
    const seconds = envelope ? numberOf(known, envelope.attack) : 0;
    if (!envelope || seconds <= LATE_SECONDS || !isAnyUsed(take.wired, known)) return [];
    const say = `${known.label} takes ${plain(seconds)} s to rise, so what it opens is heard after its gate.`;
    return [{ id: 'rises-late', severity: 'hint' as const, block: known.block.id, place: [known.block.id, envelope.attack] as const, say }];
  });
}
