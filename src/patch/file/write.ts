/**
 * Writing a patch file. Fields in fixed order, empty ones left out, two-space indent, one record to a line where it
 * fits: a version-control diff shows the block that changed and nothing else. Settings keep the order they were given.
 */
import type { Block, Cable, Patch, Stage, Variation, VariationChange } from '../document.ts';
import { FORMAT, VERSION } from '../document.ts';

/** Records up to this many characters stand on one line. */
const LINE = 140;

type Fields = Readonly<Record<string, unknown>>;

/** The text of a patch file; reading it gives the same patch, less its empty fields. */
export function writePatch(patch: Patch): string {
  const { title, summary, notes, tags, seed, seconds, probes, variations, author, date, licence, basedOn } = patch;
  const recordings = patch.recordings?.map(({ id, name, sha256, seconds: length }) => ({ id, name, sha256, seconds: length }));
  const score = patch.score?.map(({ at, note, length, velocity }) => ({ at, note, length, ...filled({ velocity }) }));
  const moves = patch.moves?.map(({ block, setting, points }) => ({ block, setting, points }));
  const fields: Fields = {
    format: FORMAT,
    version: VERSION,
    ...filled({ title, summary, notes, tags, seed, seconds, recordings }),
    blocks: patch.blocks.map(blockFields),
    cables: patch.cables.map(cableFields),
    ...filled({ score, moves, probes: probes?.map(({ at }) => ({ at })), variations: variations?.map(variationFields) }),
    ...filled({ stages: patch.stages?.map(stageFields), author, date, licence, basedOn }),
  };
  return `${broken(fields, 0)}\n`;
}

function blockFields({ id, type, label, at, settings }: Block): Fields {
  return { id, type, ...filled({ label, at, settings }) };
}

function cableFields({ from, to }: Cable): Fields {
  return { from, to };
}

function variationFields({ id, title, changes }: Variation): Fields {
  return { id, title, changes: changes.map(changeFields) };
}

function changeFields(change: VariationChange): Fields {
  if ('set' in change) return { set: change.set, value: change.value };
  if ('connect' in change) return { connect: cableFields(change.connect) };
  return 'add' in change ? { add: blockFields(change.add) } : change;
}

function stageFields({ title, say, blocks, cables, settings, listen }: Stage): Fields {
  return { title, ...filled({ say, blocks, cables, settings, listen }) };
}

/** Without the fields that say nothing. */
function filled(fields: Fields): Fields {
  const says = (value: unknown): boolean =>
    typeof value === 'object' && value !== null ? Object.keys(value).length > 0 : value !== undefined && value !== '';
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => says(value)));
}

/** A field that stands on lines of its own: a list of records then has a line for each, so that adding one adds a line. */
function field(name: string, value: unknown, indent: number): string {
  const records = Array.isArray(value) && value.some((entry) => typeof entry === 'object' && !Array.isArray(entry));
  return `${' '.repeat(indent)}${JSON.stringify(name)}: ${records ? broken(value, indent) : layOut(value, indent)}`;
}

/** JSON on one line if it fits behind `indent` columns, else its parts on lines of their own. */
function layOut(value: unknown, indent: number): string {
  const line = oneLine(value);
  return indent + line.length <= LINE || typeof value !== 'object' || value === null ? line : broken(value, indent);
}

function broken(value: object, indent: number): string {
  const inner = indent + 2;
  const [open, close, parts] = Array.isArray(value)
    ? ['[', ']', value.map((entry: unknown) => ' '.repeat(inner) + layOut(entry, inner))]
    : ['{', '}', Object.entries(value).map(([name, entry]) => field(name, entry, inner))];
  return `${open}\n${parts.join(',\n')}\n${' '.repeat(indent)}${close}`;
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const fields = Object.entries(value).map(([name, entry]) => `${JSON.stringify(name)}: ${oneLine(entry)}`);
  return fields.length ? `{ ${fields.join(', ')} }` : '{}';
}
