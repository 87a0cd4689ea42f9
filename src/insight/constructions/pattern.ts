/** A small language for parts of a patch: blocks by what they do, and what leads where. */
import { placeName } from '../../patch/document.ts';
import type { Act, Gives, Job } from '../../patch/roles.ts';
import { inputSpec, type KnownBlock } from '../wired.ts';
import { type Arrival, hasJob, isSignal, type Reading } from './reading.ts';

/** A way from one block of the pattern to another. */
interface Lead {
  readonly from: string;
  /** Only from an output that gives this. */
  readonly gives?: Gives;
  readonly to: string;
  /** What it does there: one of these, or 'signal' for the signal that the block works on. Left out: any act. */
  readonly acts?: readonly (Act | 'signal')[];
  /** Jobs of blocks that it may pass besides those that hand voltages on. */
  readonly through?: readonly Job[];
  /** Left out: either way up. */
  readonly inverted?: boolean;
}

export interface Match {
  /** By name in the pattern. */
  readonly blocks: Readonly<Record<string, KnownBlock>>;
  /** In the order of the pattern's leads. */
  readonly leads: readonly Arrival[];
}

export interface Pattern {
  /** By name: one of these jobs. Different names are different blocks. */
  readonly blocks: Readonly<Record<string, readonly Job[]>>;
  /** Each starts or ends at a block of an earlier one. */
  readonly leads: readonly Lead[];
  /** What else has to hold: settings, and what was heard. */
  readonly such?: (match: Match, reading: Reading) => boolean;
}

/** A dense patch may hold one pattern very often: enough is enough. */
const MOST_MATCHES = 400;

export function matchesOf(pattern: Pattern, reading: Reading): readonly Match[] {
  const found: Match[] = [];
  const extend = (blocks: Match['blocks'], leads: readonly Arrival[]): void => {
    if (found.length >= MOST_MATCHES) return;
    const lead = pattern.leads[leads.length];
    if (!lead) {
      const match = { blocks, leads };
      if (!pattern.such || pattern.such(match, reading)) found.push(match);
      return;
    }
    for (const target of candidates(pattern, lead.to, blocks, reading)) {
      for (const arrival of arrivalsAt(reading, target, lead)) {
        const source = reading.wired.blocks.get(arrival.from[0]);
        if (!source || !fits(pattern, lead.from, source, { ...blocks, [lead.to]: target })) continue;
        extend({ ...blocks, [lead.to]: target, [lead.from]: source }, [...leads, arrival]);
      }
    }
  };
  extend({}, []);
  return found;
}

/** The block that a name stands for already, or all that could. */
function candidates(pattern: Pattern, name: string, bound: Match['blocks'], reading: Reading): readonly KnownBlock[] {
  const already = bound[name];
  if (already) return [already];
  const jobs = pattern.blocks[name] ?? [];
  const all = new Set(jobs.flatMap((job) => reading.byJob(job)));
  return [...all].filter((known) => !Object.values(bound).includes(known));
}

function fits(pattern: Pattern, name: string, known: KnownBlock, bound: Match['blocks']): boolean {
  const already = bound[name];
  if (already) return already === known;
  return hasJob(known, ...(pattern.blocks[name] ?? [])) && !Object.values(bound).includes(known);
}

function arrivalsAt(reading: Reading, target: KnownBlock, lead: Lead): readonly Arrival[] {
  return target.spec.inputs.flatMap(({ id, acts }) => {
    const wanted = lead.acts;
    const fitting = wanted
      ? (acts !== undefined && wanted.includes(acts)) || (wanted.includes('signal') && isSignal(target, id))
      : acts !== undefined;
    if (!fitting) return [];
    return reading.arrivals([target.block.id, id], lead.through).filter((arrival) => {
      if (lead.inverted !== undefined && isUpsideDown(reading, arrival) !== lead.inverted) return false;
      return lead.gives === undefined || givesOf(reading, arrival) === lead.gives;
    });
  });
}

function givesOf({ wired }: Reading, { from }: Arrival): Gives | undefined {
  return wired.blocks.get(from[0])?.spec.outputs.find(({ id }) => id === from[1])?.gives;
}

/** Does it arrive the other way up than the main output of its block? */
function isUpsideDown(reading: Reading, arrival: Arrival): boolean {
  return arrival.inverted !== (givesOf(reading, arrival) === 'inverted');
}

/** The kind of what arrives, as it is drawn. */
export function kindOf({ kinds }: Reading, { from }: Arrival): string | undefined {
  return kinds.get(placeName(from));
}

export function inputOf({ wired }: Reading, { to }: Arrival) {
  const known = wired.blocks.get(to[0]);
  return known && inputSpec(known.spec, to[1]);
}
