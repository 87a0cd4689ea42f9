/**
 * What the parts of a document say of each other and of the catalogue: types, ports and settings that exist, values in
 * range, one cable per input, ids that are unique. Parts whose shape is already refused are passed over.
 */
import type { BlockSpec, Catalogue } from '../blockSpec.ts';
import { checkSetting } from '../checkSetting.ts';
import type { Block, Cable, Move, Patch, Place, Probe, Stage, Variation } from '../document.ts';
import { placeName } from '../document.ts';
import { childPath, closest, type Problem, quoted } from '../problem.ts';
import { noRecording } from '../recordings.ts';
import type { RuleId } from '../refusal.ts';
import { isRecord } from './shape.ts';

type ListField = 'blocks' | 'cables' | 'moves' | 'probes' | 'variations' | 'stages' | 'recordings';
type Entry<Field extends ListField> = NonNullable<Patch[Field]>[number];
type Blocks = ReadonlyMap<string, Pick<Block, 'id' | 'type'>>;

/** What to say of an entry whose key an earlier one has. */
type Twice = (key: string, first: string) => string;

interface Check {
  readonly catalogue: Catalogue;
  /** Ids of the recordings there are. */
  readonly recordings: ReadonlySet<string>;
  readonly report: (path: string, rule: RuleId, say: string) => void;
}

/** `shapeProblems` of the document; gives the further ones. */
export function checkReferences(
  document: Readonly<Record<string, unknown>>,
  catalogue: Catalogue,
  shapeProblems: readonly Problem[],
): readonly Problem[] {
  const found: Problem[] = [];
  const check: Check = {
    catalogue,
    recordings: idsOf(document.recordings),
    report: (path, rule, say) => found.push({ path, rule, say }),
  };
  // `blocks[3]` of `blocks[3].settings.cutoff`; `blocks` if the list itself is refused.
  const refused = new Set(shapeProblems.map(({ path }) => /^\w+(\[\d+\])?/.exec(path)?.[0]));
  const entries = <Field extends ListField>(field: Field): readonly (readonly [Entry<Field>, string])[] => {
    const list = document[field];
    if (!Array.isArray(list) || refused.has(field)) return [];
    return list.map((entry: Entry<Field>, i) => [entry, childPath(field, i)] as const).filter(([, path]) => !refused.has(path));
  };
  /** Reports each entry after the first that has the same key. */
  const unique = <Field extends ListField>(
    field: Field,
    rule: RuleId,
    key: (entry: Entry<Field>) => string,
    at: string,
    say: Twice,
  ): void => {
    const first = new Map<string, string>();
    for (const [entry, path] of entries(field)) {
      const earlier = first.get(key(entry));
      if (earlier === undefined) first.set(key(entry), path);
      else check.report(at ? childPath(path, at) : path, rule, say(key(entry), earlier));
    }
  };
  const uniqueIds = (field: 'blocks' | 'variations' | 'recordings', one: string): void =>
    unique(
      field,
      'duplicate-id',
      ({ id }) => id,
      'id',
      (id, first) => `The id "${id}" is taken by ${first}; each ${one} needs its own.`,
    );
  const blocks = knownBlocks(document.blocks);
  const each = <Field extends ListField>(
    field: Field,
    look: (check: Check, blocks: Blocks, entry: Entry<Field>, path: string) => void,
  ): void => {
    for (const [entry, path] of entries(field)) look(check, blocks, entry, path);
  };

  uniqueIds('blocks', 'block');
  each('blocks', checkBlock);
  each('cables', checkCable);
  unique(
    'cables',
    'input-taken',
    (cable) => placeName(cable.to),
    'to',
    (to, first) => `"${to}" already has ${first}; an input takes one cable.`,
  );
  each('moves', checkMove);
  unique(
    'moves',
    'already-there',
    ({ block, setting }) => `${block}.${setting}`,
    '',
    (at, first) => `"${at}" is moved by ${first} already; use one.`,
  );
  each('probes', checkProbe);
  unique(
    'probes',
    'already-there',
    (probe) => placeName(probe.at),
    'at',
    (at, first) => `"${at}" already has ${first}; an output takes one probe.`,
  );
  uniqueIds('variations', 'variation');
  each('variations', checkVariation);
  each('stages', checkStage);
  uniqueIds('recordings', 'recording');
  return found;
}

/** Ids of a list's records, be the rest of them right or wrong. */
function idsOf(list: unknown): ReadonlySet<string> {
  return new Set((Array.isArray(list) ? list : []).flatMap((entry) => (isRecord(entry) && typeof entry.id === 'string' ? [entry.id] : [])));
}

/** Blocks that cables can mean: those with an id and a type, be the rest of them right or wrong. */
function knownBlocks(list: unknown): Blocks {
  const blocks = new Map<string, Pick<Block, 'id' | 'type'>>();
  for (const entry of Array.isArray(list) ? list : []) {
    if (isRecord(entry) && typeof entry.id === 'string' && typeof entry.type === 'string')
      blocks.set(entry.id, { id: entry.id, type: entry.type });
  }
  return blocks;
}

function checkBlock(check: Check, _blocks: Blocks, block: Block, path: string): void {
  const spec = check.catalogue.get(block.type);
  if (!spec) {
    const near = closest(block.type, check.catalogue.keys());
    const hint = near ? `did you mean "${near}"?` : 'the catalogue lists what there is.';
    check.report(childPath(path, 'type'), 'unknown-type', `There is no function "${block.type}"; ${hint}`);
    return;
  }
  for (const [id, value] of Object.entries(block.settings ?? {})) {
    checkValue(check, spec, id, value, childPath(childPath(path, 'settings'), id), childPath(childPath(path, 'settings'), id));
  }
}

/** A setting of a known spec and its value, which may stand in different places. */
function checkValue(check: Check, spec: BlockSpec, id: string, value: unknown, idPath: string, valuePath: string): void {
  const setting = spec.settings.find((candidate) => candidate.id === id);
  if (!setting) {
    const has = spec.settings.length ? `it has ${quoted(spec.settings.map((known) => known.id))}` : 'it has none';
    check.report(idPath, 'no-such-setting', `The function "${spec.type}" has no setting "${id}"; ${has}.`);
    return;
  }
  const problems = checkSetting(setting, value, valuePath);
  for (const problem of problems) check.report(problem.path, problem.rule, problem.say);
  if (problems.length > 0 || setting.type !== 'recording' || value === '') return;
  if (!check.recordings.has(String(value))) check.report(valuePath, 'no-such-recording', noRecording(String(value), [...check.recordings]));
}

/** The block that a place names, with its spec; undefined if there is none (said) or its type is unknown (said where the block stands). */
function partAt(check: Check, blocks: Blocks, id: string, path: string): BlockSpec | undefined {
  const block = blocks.get(id);
  if (!block) check.report(path, 'no-such-block', `There is no block "${id}" in this patch.`);
  return block && check.catalogue.get(block.type);
}

function checkPort(check: Check, blocks: Blocks, side: 'inputs' | 'outputs', [id, port]: Place, path: string): void {
  const spec = partAt(check, blocks, id, childPath(path, 0));
  if (!spec || spec[side].some((known) => known.id === port)) return;
  const has = spec[side].length ? `it has ${quoted(spec[side].map((known) => known.id))}` : 'it has none';
  check.report(
    childPath(path, 1),
    'no-such-port',
    `The function "${spec.type}" has no ${side === 'inputs' ? 'input' : 'output'} "${port}"; ${has}.`,
  );
}

function checkCable(check: Check, blocks: Blocks, cable: Cable, path: string): void {
  checkPort(check, blocks, 'outputs', cable.from, childPath(path, 'from'));
  checkPort(check, blocks, 'inputs', cable.to, childPath(path, 'to'));
}

function checkProbe(check: Check, blocks: Blocks, probe: Probe, path: string): void {
  checkPort(check, blocks, 'outputs', probe.at, childPath(path, 'at'));
}

function checkMove(check: Check, blocks: Blocks, move: Move, path: string): void {
  const spec = partAt(check, blocks, move.block, childPath(path, 'block'));
  if (!spec) return;
  const setting = spec.settings.find((candidate) => candidate.id === move.setting);
  if (setting && setting.type !== 'number') {
    check.report(
      childPath(path, 'setting'),
      'not-usable-here',
      `${setting.title} cannot be moved by hand over time: only settings that are numbers can.`,
    );
    return;
  }
  let last = 0;
  for (const [i, [time, value]] of move.points.entries()) {
    const place = childPath(childPath(path, 'points'), i);
    if (time < last)
      check.report(childPath(place, 0), 'out-of-range', `The points of a move stand in order of time; ${time} s comes after ${last} s.`);
    last = time;
    checkValue(check, spec, move.setting, value, childPath(path, 'setting'), childPath(place, 1));
    // An unknown setting is said once, not at each point.
    if (!setting) return;
  }
}

/** Each change of a variation is judged in the patch that the ones before it leave. */
function checkVariation(check: Check, patchBlocks: Blocks, variation: Variation, path: string): void {
  const blocks = new Map(patchBlocks);
  for (const [i, change] of variation.changes.entries()) {
    const place = childPath(childPath(path, 'changes'), i);
    if ('set' in change) {
      const spec = partAt(check, blocks, change.set[0], childPath(childPath(place, 'set'), 0));
      if (spec) checkValue(check, spec, change.set[1], change.value, childPath(childPath(place, 'set'), 1), childPath(place, 'value'));
    } else if ('connect' in change) {
      checkCable(check, blocks, change.connect, childPath(place, 'connect'));
    } else if ('disconnect' in change) {
      checkPort(check, blocks, 'inputs', change.disconnect, childPath(place, 'disconnect'));
    } else if ('add' in change) {
      const id = change.add.id;
      if (blocks.has(id))
        check.report(childPath(childPath(place, 'add'), 'id'), 'duplicate-id', `The id "${id}" is taken; each block needs its own.`);
      checkBlock(check, blocks, change.add, childPath(place, 'add'));
      blocks.set(id, change.add);
    } else {
      partAt(check, blocks, change.remove, childPath(place, 'remove'));
      blocks.delete(change.remove);
    }
  }
}

function checkStage(check: Check, blocks: Blocks, stage: Stage, path: string): void {
  for (const [i, id] of (stage.blocks ?? []).entries()) partAt(check, blocks, id, childPath(childPath(path, 'blocks'), i));
  for (const [i, to] of (stage.cables ?? []).entries()) checkPort(check, blocks, 'inputs', to, childPath(childPath(path, 'cables'), i));
  for (const [i, [id, setting, value]] of (stage.settings ?? []).entries()) {
    const place = childPath(childPath(path, 'settings'), i);
    const spec = partAt(check, blocks, id, childPath(place, 0));
    if (spec) checkValue(check, spec, setting, value, childPath(place, 1), childPath(place, 2));
  }
}
