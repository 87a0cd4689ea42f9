/** What can be said of a patch once a take of it has been rendered. */
import { FULL_SCALE_VOLTS, levelsOf } from '../measure/levels.ts';
import type { Finding } from './finding.ts';

export interface HeardTake {
  /** Full scale 1. */
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly seconds: number;
  /** Means of what the outputs carry before their dc blocks, in volts. */
  readonly dcVolts: { readonly left: number; readonly right: number };
  /** Ids of blocks that turned non-finite. */
  readonly faults: readonly string[];
  /** Id of an output block; undefined where the patch has none. */
  readonly outlet: string | undefined;
}

/** Direct voltage from here on is named: 1 % of full scale (our choice; no source). */
const DIRECT_VOLTS = 0.1;

export function takeFindings(take: HeardTake): Finding[] {
  const faults = take.faults.map(
    (block): Finding => ({
      id: 'fault',
      severity: 'error',
      block,
      say: `${block} gave numbers that are no voltages and was muted; look at what feeds it.`,
    }),
  );
  if (take.outlet === undefined) return faults;
  const outlet = { block: take.outlet };
  const channels = [levelsOf(take.left), levelsOf(take.right)];
  if (channels.every(({ peak }) => peak === 0) && take.dcVolts.left === 0 && take.dcVolts.right === 0) {
    const say = `Nothing is heard in the ${plain(take.seconds)} s of the take.`;
    return [...faults, { id: 'silent-take', severity: 'warning', ...outlet, say }];
  }
  const direct = Math.max(Math.abs(take.dcVolts.left), Math.abs(take.dcVolts.right));
  if (direct < DIRECT_VOLTS) return faults;
  const left = channels.some(({ dc }) => Math.abs(dc) * FULL_SCALE_VOLTS >= DIRECT_VOLTS);
  const say = left
    ? `The output carries ${plain(direct)} V of direct voltage, which strains loudspeakers; switch its dc block on.`
    : `${plain(direct)} V of direct voltage arrive at the output; its dc block takes them away.`;
  return [...faults, { id: 'direct-voltage', severity: left ? 'warning' : 'hint', ...outlet, say }];
}

function plain(value: number): string {
  return String(Number(value.toPrecision(3)));
}
