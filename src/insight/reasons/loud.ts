/** Where level comes from: from the output back to the sources, block by block. */
import { toDb } from '../../measure/levels.ts';
import { truePeakOf } from '../../measure/truePeak.ts';
import type { Place } from '../../patch/document.ts';
import type { HeardPatch } from '../checks/heardPatch.ts';
import { blocksOf, blocksOnSoundPath, numberOf, plain } from '../checks/look.ts';
import type { Finding } from '../finding.ts';
import { type KnownBlock, sourceOf } from '../wired.ts';
import { type Evidence, ofRules, type Reasons } from './complaint.ts';

/** LUFS below which a take is not loud (our choice: between EBU R 128, -23, and the -14 or so of music for distribution). */
const NOT_LOUD = -20;
/** Decibels that are worth a word (our choice). */
const ADDS_DB = 2;
/** The usual peak of sound here (common practice), and the RMS of a sine of that: what stays below is not too much. */
const USUAL_PEAK = 5;
const USUAL_VOLTS = USUAL_PEAK / Math.SQRT2;

export function whyLoud({ take, found }: Evidence): Reasons {
  const lufs = take.loudness();
  const peak = toDb(Math.max(...take.sides.map(truePeakOf)));
  if (take.outlets.length === 0 || !Number.isFinite(peak)) {
    return { complaint: 'loud', say: 'I cannot tell: nothing is heard in the take.', findings: [] };
  }
  const loudness = lufs === undefined || !Number.isFinite(lufs) ? '' : `${plain(lufs)} LUFS, `;
  const measured = `Measured: ${loudness}true peak ${plain(peak)} dBTP.`;
  const findings = [
    ...ofRules(found, ['level-grows']),
    ...added(take).map(({ finding }) => finding),
    ...ofRules(found, ['feedback-grows', 'several-outputs', 'ceiling-busy', 'over-full-scale', 'clipped']),
  ];
  if (lufs !== undefined && lufs < NOT_LOUD && ofRules(found, ['level-grows', 'clipped', 'ceiling-busy']).length === 0) {
    return { complaint: 'loud', say: `${measured} That is not loud; is the volume of the device high?`, findings: [] };
  }
  if (findings.length === 0)
    return { complaint: 'loud', say: `${measured} I cannot tell what makes it loud: no block adds much.`, findings };
  return { complaint: 'loud', say: measured, findings };
}

interface Added {
  readonly decibels: number;
  readonly finding: Finding;
}

/** Blocks on the way of the sound that make it louder, those that add most first. */
function added(take: HeardPatch): Added[] {
  const path = blocksOnSoundPath(take.wired);
  const blocks = blocksOf(take.wired)
    .filter(({ block }) => path.has(block.id))
    .flatMap((known) => byBlock(take, known) ?? []);
  return [...take.outlets.flatMap((known) => byOutlet(known) ?? []), ...blocks].sort((a, b) => b.decibels - a.decibels);
}

function byOutlet(known: KnownBlock): Added | undefined {
  const level = known.spec.bus?.level ?? '';
  const decibels = numberOf(known, level);
  const standard = known.spec.settings.find(({ id }) => id === level)?.default;
  if (decibels <= 0) return undefined;
  const place = [known.block.id, level] as const;
  const say = `${known.label} adds ${plain(decibels)} dB to all that reaches it.`;
  const fix = { label: `Turn it down to ${standard} dB`, changes: [{ set: place, value: Number(standard) }] };
  return {
    decibels,
    finding: { id: 'adds-level', severity: 'hint', block: known.block.id, place, say, ...(typeof standard === 'number' && { fix }) },
  };
}

/** RMS with the direct part: what counts for level. */
function volts(take: HeardPatch, place: Place): number {
  const figures = take.figures(place);
  return figures ? Math.hypot(figures.rms, figures.mean) : 0;
}

function peakVolts(take: HeardPatch, place: Place): number {
  const figures = take.figures(place);
  return figures ? Math.max(Math.abs(figures.least), Math.abs(figures.most)) : 0;
}

function byBlock(take: HeardPatch, known: KnownBlock): Added | undefined {
  const { block, spec, label } = known;
  const outputs = spec.outputs.map((output): Place => [block.id, output.id]).filter((place) => take.wired.from.has(place.join('.')));
  const loudest = Math.max(0, ...outputs.map((place) => volts(take, place)));
  if (loudest <= USUAL_VOLTS) return undefined;
  const inputs = new Set((spec.flows ?? []).flatMap((flow) => flow.from));
  const sources = [...inputs].map((input) => sourceOf(take.wired, block.id, input)).filter((source) => source !== undefined);
  const before = Math.max(0, ...sources.map((source) => volts(take, source)));
  const peak = Math.max(0, ...outputs.map((place) => peakVolts(take, place)));
  // what comes from a source is compared with the usual peak: a square wave of 5 V is as it should be
  const decibels = before > 0 ? toDb(loudest / before) : toDb(peak / USUAL_PEAK);
  if (decibels < ADDS_DB) return undefined;
  const say =
    before > 0
      ? `${label} makes it ${plain(decibels)} dB louder than the loudest that goes in: ${plain(loudest)} V RMS.`
      : `${label} itself is loud: it reaches ${plain(peak)} V, where ${USUAL_PEAK} V are usual.`;
  return { decibels, finding: { id: 'adds-level', severity: 'hint', block: block.id, say } };
}
