// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { type BlockSpec, createCatalogue } from '../patch/blockSpec.ts';
import type { Block, Cable, Patch } from '../patch/document.ts';
import { findings } from './findings.ts';
import { whySilent } from './silence.ts';

const base = {
  group: 'shape',
  say: '',
  part: { one: '', many: '' },
  stem: '',
  keySettings: [],
  inputs: [],
  outputs: [],
  settings: [],
} as const;
const number = (id: string, value: number) =>
  ({ id, title: id, type: 'number', unit: '', minimum: -1, maximum: 1, default: value }) as const;
const out = [{ id: 'out', title: 'Out', kind: 'audio' }] as const;

const specs: BlockSpec[] = [
  { ...base, type: 'tone', title: 'Tone', outputs: out },
  { ...base, type: 'tape', title: 'Tape', outputs: out, settings: [{ id: 'file', title: 'File', type: 'recording', default: '' }] },
  { ...base, type: 'mic', title: 'Mic', outputs: out, liveInput: true },
  {
    ...base,
    type: 'amp',
    title: 'Amp',
    inputs: [
      { id: 'in', title: 'In', kind: 'audio' },
      { id: 'cv', title: 'CV', kind: 'control', amount: 'cvAmount' },
    ],
    outputs: out,
    settings: [number('level', 0), number('cvAmount', 1)],
    flows: [{ from: ['in'], to: ['out'], shutWhen: { settingsAtZero: ['level'], unpatched: ['cv'], say: 'its level rests at 0' } }],
  },
  {
    ...base,
    type: 'sum',
    title: 'Sum',
    inputs: [
      { id: 'in1', title: 'In 1', kind: 'audio' },
      { id: 'in2', title: 'In 2', kind: 'audio' },
    ],
    outputs: out,
    settings: [number('level1', 1), number('level2', 1)],
    flows: [{ from: ['in1', 'in2'], to: ['out'], levels: { in1: 'level1', in2: 'level2' } }],
  },
  {
    ...base,
    type: 'sieve',
    title: 'Sieve',
    inputs: [
      { id: 'in', title: 'In', kind: 'audio' },
      { id: 'more', title: 'More', kind: 'control' },
    ],
    outputs: out,
    settings: [number('peak', 0)],
    flows: [{ from: ['in'], to: ['out'], alone: { setting: 'peak', atLeast: 0.95, orPatched: ['more'] } }],
  },
  {
    ...base,
    type: 'rise',
    title: 'Rise',
    inputs: [
      { id: 'gate', title: 'Gate', kind: 'gate' },
      { id: 'again', title: 'Again', kind: 'gate' },
    ],
    outputs: [
      { id: 'up', title: 'Up', kind: 'control' },
      { id: 'down', title: 'Down', kind: 'control' },
    ],
    settings: [{ id: 'loop', title: 'Loop', type: 'choice', choices: ['off', 'on'], default: 'off' }],
    needs: [
      {
        input: 'gate',
        outputs: ['up', 'down'],
        unless: [{ setting: 'loop', is: 'on' }],
        orPatched: ['again'],
        rests: { down: 8 },
        say: 'never starts, because nothing is patched to its gate',
        still: 'never starts',
      },
    ],
  },
  {
    ...base,
    type: 'scale',
    title: 'Scale',
    inputs: [{ id: 'in', title: 'In', kind: 'control', normal: 8 }],
    outputs: out,
    flows: [{ from: ['in'], to: ['out'] }],
  },
  { ...base, type: 'piano', title: 'Piano', outputs: [{ id: 'gate', title: 'Gate', kind: 'gate' }], playsNotes: true },
  {
    ...base,
    type: 'ear',
    title: 'Ear',
    inputs: [
      { id: 'left', title: 'Left', kind: 'audio' },
      { id: 'right', title: 'Right', kind: 'audio', normalFrom: 'left' },
    ],
    bus: { left: 'l', right: 'r', level: 'level', dcBlock: 'd', ceiling: 'c' },
  },
];
const catalogue = createCatalogue(specs);

/** `blocks`: "id:type", "id" being the type where it is left out. `cables`: "a.out b.in". */
function patch(
  blocks: readonly string[],
  cables: readonly string[],
  settings: Readonly<Record<string, Block['settings']>> = {},
  more: Partial<Patch> = {},
): Patch {
  const place = (name: string): [string, string] => name.split('.') as [string, string];
  return {
    ...more,
    blocks: blocks.map((word): Block => {
      const [id = '', type = id] = word.split(':');
      return settings[id] ? { id, type, label: `my ${id}`, settings: settings[id] } : { id, type, label: `my ${id}` };
    }),
    cables: cables.map((line): Cable => {
      const [from = '', to = ''] = line.split(' ');
      return { from: place(from), to: place(to) };
    }),
  };
}

const ids = (each: Patch): string[] => findings(each, catalogue).map(({ id, block }) => (block ? `${id} ${block}` : id));
const silent = (each: Patch): string[] => whySilent(each, catalogue).map(({ id, block }) => (block ? `${id} ${block}` : id));

const plain = patch(['tone', 'ear'], ['tone.out ear.left']);

describe('a patch that sounds', () => {
  it('gives no findings', () => {
    expect(ids(plain)).toEqual([]);
    expect(silent(plain)).toEqual([]);
  });

  it.each([
    ['a tape with a file', patch(['tape', 'ear'], ['tape.out ear.left'], { tape: { file: 'fog' } })],
    ['an amplifier opened by its level', patch(['tone', 'amp', 'ear'], ['tone.out amp.in', 'amp.out ear.left'], { amp: { level: 0.5 } })],
    [
      'an amplifier opened by hand during the take',
      patch(
        ['tone', 'amp', 'ear'],
        ['tone.out amp.in', 'amp.out ear.left'],
        {},
        {
          moves: [
            {
              block: 'amp',
              setting: 'level',
              points: [
                [0, 0],
                [4, 1],
              ],
            },
          ],
        },
      ),
    ],
    ['an amplifier opened by a cable', patch(['tone', 'amp', 'scale', 'ear'], ['tone.out amp.in', 'scale.out amp.cv', 'amp.out ear.left'])],
    [
      'an amplifier held open by an output that rests high',
      patch(['tone', 'amp', 'rise', 'ear'], ['tone.out amp.in', 'rise.down amp.cv', 'amp.out ear.left']),
    ],
    [
      'a looping envelope without a gate',
      patch(['tone', 'amp', 'rise', 'ear'], ['tone.out amp.in', 'rise.up amp.cv', 'amp.out ear.left'], { rise: { loop: 'on' } }),
    ],
    [
      'an envelope started by another input',
      patch(['tone', 'amp', 'rise', 'scale', 'ear'], ['tone.out amp.in', 'scale.out rise.again', 'rise.up amp.cv', 'amp.out ear.left']),
    ],
    [
      'one of two ways',
      patch(['tone', 'amp', 'sum', 'ear'], ['tone.out amp.in', 'amp.out sum.in1', 'tone.out sum.in2', 'sum.out ear.left']),
    ],
    ['a filter that oscillates', patch(['sieve', 'ear'], ['sieve.out ear.left'], { sieve: { peak: 0.95 } })],
    ['a filter that a cable may bring to oscillate', patch(['sieve', 'scale', 'ear'], ['scale.out sieve.more', 'sieve.out ear.left'])],
    ['a loop with a source', patch(['tone', 'sum', 'ear'], ['tone.out sum.in1', 'sum.out sum.in2', 'sum.out ear.left'])],
    ['the right channel alone', patch(['tone', 'ear'], ['tone.out ear.right'])],
  ])('is not called silent: %s', (_title, each) => {
    expect(silent(each)).toEqual([]);
  });
});

describe('why it is silent', () => {
  it.each([
    ['a tape without a file', ['no-sound-file tape'], patch(['tape', 'ear'], ['tape.out ear.left'])],
    ['no output', ['no-output'], patch(['tone'], [])],
    ['nothing patched to the output', ['output-unpatched ear'], patch(['tone', 'ear'], [])],
    ['a closed amplifier', ['shut amp'], patch(['tone', 'amp', 'ear'], ['tone.out amp.in', 'amp.out ear.left'])],
    ['an empty amplifier', ['no-input amp'], patch(['amp', 'ear'], ['amp.out ear.left'], { amp: { level: 1 } })],
    [
      'an envelope without a gate',
      ['needs-cable rise'],
      patch(['tone', 'amp', 'rise', 'ear'], ['tone.out amp.in', 'rise.up amp.cv', 'amp.out ear.left']),
    ],
    [
      'a control amount of 0',
      ['amount-zero amp'],
      patch(['tone', 'amp', 'scale', 'ear'], ['tone.out amp.in', 'scale.out amp.cv', 'amp.out ear.left'], { amp: { cvAmount: 0 } }),
    ],
    [
      'a level of 0 on the only way',
      ['level-zero sum'],
      patch(['tone', 'sum', 'ear'], ['tone.out sum.in1', 'sum.out ear.left'], { sum: { level1: 0 } }),
    ],
    ['a loop without a source', ['only-itself sum'], patch(['sum', 'ear'], ['sum.out sum.in2', 'sum.out ear.left'])],
  ])('%s', (_title, expected, each) => {
    expect(silent(each)).toEqual(expected);
    expect(whySilent(each, catalogue).every(({ severity }) => severity === 'error')).toBe(true);
  });

  it('names first where something arrives and dies, then what else is broken behind', () => {
    const each = patch(
      ['sieve', 'first:amp', 'tone', 'second:amp', 'sum', 'ear'],
      ['sieve.out first.in', 'first.out sum.in1', 'tone.out second.in', 'second.out sum.in2', 'sum.out ear.left'],
    );
    expect(silent(each)[0]).toBe('shut second');
    expect(silent(each)).toContain('no-input sieve');
    expect(silent(each)).toContain('shut first');
  });

  it('says it in a sentence with the names on the sketch', () => {
    const [first] = whySilent(patch(['tone', 'amp', 'rise', 'ear'], ['tone.out amp.in', 'rise.up amp.cv', 'amp.out ear.left']), catalogue);
    expect(first?.say).toBe('my rise never starts, because nothing is patched to its gate.');
    const [level] = whySilent(patch(['tone', 'sum', 'ear'], ['tone.out sum.in1', 'sum.out ear.left'], { sum: { level1: 0 } }), catalogue);
    expect(level?.say).toBe('"level1" of my sum is at 0, so what comes from my tone stops there.');
  });

  it('is answered for a long chain', () => {
    const names = Array.from({ length: 2000 }, (_, i) => `s${i}:sieve`);
    const cables = names.map((_, i) => (i === 0 ? 's0.out ear.left' : `s${i}.out s${i - 1}.in`));
    expect(silent(patch([...names, 'ear'], cables))).toEqual(['no-input s1999']);
  });

  it('does not lose its way where many ways meet', () => {
    const names = Array.from({ length: 60 }, (_, i) => `s${i}:sum`);
    const cables = names.flatMap((_, i) => (i === 0 ? ['s0.out ear.left'] : [`s${i}.out s${i - 1}.in1`, `s${i}.out s${i - 1}.in2`]));
    expect(silent(patch([...names, 'ear'], cables))).toEqual(['no-input s59']);
  });
});

describe('findings', () => {
  it.each([
    [
      'closed',
      'shut amp',
      patch(['tone', 'amp', 'sum', 'ear'], ['tone.out amp.in', 'amp.out sum.in1', 'tone.out sum.in2', 'sum.out ear.left']),
    ],
    [
      'without a gate',
      'needs-cable rise',
      patch(['tone', 'amp', 'rise', 'ear'], ['tone.out amp.in', 'rise.up amp.cv', 'amp.out ear.left'], { amp: { level: 0.5 } }),
    ],
    ['empty', 'no-input sieve', patch(['tone', 'sieve', 'sum', 'ear'], ['tone.out sum.in1', 'sieve.out sum.in2', 'sum.out ear.left'])],
    [
      'a level at 0',
      'level-zero sum',
      patch(['tone', 'sum', 'ear'], ['tone.out sum.in1', 'tone.out sum.in2', 'sum.out ear.left'], { sum: { level1: 0 } }),
    ],
    [
      'an amount at 0',
      'amount-zero amp',
      patch(['tone', 'amp', 'scale', 'ear'], ['tone.out amp.in', 'scale.out amp.cv', 'amp.out ear.left'], {
        amp: { cvAmount: 0, level: 1 },
      }),
    ],
    ['unheard', 'unheard scale', patch(['tone', 'scale', 'ear'], ['tone.out ear.left'])],
    ['several outputs', 'several-outputs ear2', patch(['tone', 'ear', 'ear2:ear'], ['tone.out ear.left', 'tone.out ear2.left'])],
    ['a player without a file', 'no-sound-file tape', patch(['tone', 'tape', 'ear'], ['tone.out ear.left', 'tape.out ear.right'])],
    ['a microphone', 'live-only mic', patch(['mic', 'ear'], ['mic.out ear.left'])],
    [
      'a keyboard without notes',
      'no-notes piano',
      patch(['tone', 'amp', 'piano', 'ear'], ['tone.out amp.in', 'piano.gate amp.cv', 'amp.out ear.left']),
    ],
  ])('%s', (_title, expected, each) => {
    expect(ids(each)).toEqual([expected]);
  });

  it('of a silent patch come first and are not said twice', () => {
    const closed = patch(['tone', 'amp', 'ear', 'scale'], ['tone.out amp.in', 'amp.out ear.left']);
    expect(findings(closed, catalogue).map(({ id, severity }) => [id, severity])).toEqual([
      ['shut', 'error'],
      ['unheard', 'hint'],
    ]);
  });

  it('leave alone what a probe looks at, what is played by notes and what is unused on purpose', () => {
    expect(ids({ ...patch(['tone', 'scale', 'ear'], ['tone.out ear.left']), probes: [{ at: ['scale', 'out'] }] })).toEqual([]);
    const played = patch(['tone', 'amp', 'piano', 'ear'], ['tone.out amp.in', 'piano.gate amp.cv', 'amp.out ear.left']);
    expect(ids({ ...played, score: [{ at: 0, note: 60, length: 1 }] })).toEqual([]);
  });

  it('skip blocks they do not know', () => {
    expect(ids(patch(['tone', 'ear', 'other'], ['tone.out ear.left', 'other.x ear.right']))).toEqual([]);
  });

  it('names sound files that are not there', () => {
    const tape = patch(['tape', 'ear'], ['tape.out ear.left'], { tape: { file: 'fog' } });
    const named = { ...tape, recordings: [{ id: 'fog', name: 'Fog.wav', sha256: 'f'.repeat(64), seconds: 1 }] };
    expect(findings(named, catalogue, new Set(['a'.repeat(64)]))).toEqual([]);
    expect(findings(named, catalogue, new Set(['f'.repeat(64)]))).toMatchObject([
      {
        id: 'sound-file-missing',
        block: 'tape',
        say: 'The sound file "Fog.wav" of my tape is not in this notebook: choose it again in its settings.',
      },
    ]);
  });
});
