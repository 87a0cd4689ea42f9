// @vitest-environment node
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { encodeWav } from '../../src/notebook/wav.ts';

/** Sound files of a patch on the command line: beside the patch file, in FILE.recordings/ID.wav. */
const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const folder = mkdtempSync(join(tmpdir(), 'sketchbook-recordings-'));
const file = (...name: string[]): string => join(folder, ...name);

function cli(args: readonly string[], input = '') {
  const run = spawnSync(process.execPath, [join(root, 'src/cli/run.mjs'), ...args], { encoding: 'utf8', input, cwd: folder });
  return { status: run.status, out: run.stdout, lines: run.stderr.split('\n').filter((line) => line !== '') };
}

const rate = 48000;
const bell = Float32Array.from({ length: 12000 }, (_, n) => 0.5 * Math.sin((2 * Math.PI * 600 * n) / rate) * Math.exp(-n / 4000));
const bytes = encodeWav([bell, bell.map((x) => -x)], rate, '24');
const sha = (data: Uint8Array): string => createHash('sha256').update(data).digest('hex');

const patch = (recordings: readonly object[], settings: object = { recording: 'bell' }): string =>
  JSON.stringify({
    format: 'signal-sketchbook/patch',
    version: 1,
    seconds: 0.5,
    recordings,
    blocks: [
      { id: 'lamp', type: 'attenuverter' },
      { id: 'player', type: 'samplePlayer', settings },
      { id: 'out', type: 'output', settings: { level: 0, dcBlock: false, ceiling: false } },
    ],
    cables: [
      { from: ['lamp', 'out'], to: ['player', 'play'] },
      { from: ['player', 'left'], to: ['out', 'left'] },
      { from: ['player', 'right'], to: ['out', 'right'] },
    ],
    variations: [{ id: 'mute', title: 'No bell', changes: [{ set: ['player', 'recording'], value: '' }] }],
  });
const entry = { id: 'bell', name: 'Ferry bell.wav', sha256: sha(bytes), seconds: 0.25 };

/** A patch file with sound files beside it. */
function place(name: string, text: string, sounds: Readonly<Record<string, Uint8Array>>): void {
  writeFileSync(file(name), text);
  mkdirSync(file(`${name}.recordings`), { recursive: true });
  for (const [id, data] of Object.entries(sounds)) writeFileSync(file(`${name}.recordings`, `${id}.wav`), data);
}

beforeAll(() => {
  place('bell.patch.json', patch([entry]), { bell: bytes });
  place('missing.patch.json', patch([entry]), {});
  place('other.patch.json', patch([entry]), { bell: encodeWav([bell], rate, '16') });
  place('text.patch.json', patch([{ ...entry, sha256: sha(new Uint8Array(20)) }]), { bell: new Uint8Array(20) });
  place('spare.patch.json', patch([entry, { ...entry, id: 'spare' }]), { bell: bytes });
  // The first call may have to build the bundle.
  expect(cli(['catalogue']).status).toBe(0);
}, 120_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a patch with a sound file beside it', () => {
  it('renders it sample by sample', () => {
    const { status, lines } = cli(['render', 'bell.patch.json', '--out', 'bell.wav', '--tap', 'player.left=left.f32']);
    expect([status, lines]).toEqual([0, []]);
    const [left, right] = new wavefile.WaveFile(readFileSync(file('bell.wav'))).getSamples(false, Float32Array) as unknown as [
      Float32Array,
      Float32Array,
    ];
    const stored = new wavefile.WaveFile(bytes).getSamples(false, Float64Array) as unknown as Float64Array[];
    for (let n = 0; n < 24000; n++) {
      const at = (side: number): number => (n < 12000 ? stored[side]![n]! / 8388608 : 0);
      expect(Math.abs(left[n]! - at(0)) + Math.abs(right[n]! - at(1))).toBeLessThan(1e-7);
    }
    const raw = readFileSync(file('left.f32'));
    expect(raw.readFloatLE(4 * 20)).toBeCloseTo(10 * left[20]!, 5);
  });

  it('measures it, by render and by check', () => {
    expect(cli(['render', 'bell.patch.json', '--report', 'bell.json']).status).toBe(0);
    expect(JSON.parse(readFileSync(file('bell.json'), 'utf8')).peakDbfs).toBeCloseTo(20 * Math.log10(Math.max(...bell)), 2);
    expect(cli(['check', 'bell.patch.json', '--seconds', '0.2']).status).toBe(0);
  });

  it('asks only for what is played', () => {
    expect(cli(['render', 'spare.patch.json', '--out', 'spare.wav']).status).toBe(0);
    expect(cli(['render', 'missing.patch.json', '--variation', 'mute', '--out', 'mute.wav']).status).toBe(0);
    // Nothing sounds in these.
    for (const verb of ['parts', 'check']) expect(cli([verb, 'missing.patch.json']).status).toBe(0);
    expect(cli(['sheet', 'missing.patch.json', '--out', 'missing.html']).status).toBe(0);
    expect(readFileSync(file('missing.html'), 'utf8')).toContain('Ferry bell.wav');
  });
});

describe('is refused with one line', () => {
  it.each([
    [
      'missing.patch.json',
      /^missing\.patch\.json: recordings\[0\]: The sound file "Ferry bell\.wav" is missing: .*bell\.wav cannot be read \(ENOENT\)\.$/,
    ],
    [
      'other.patch.json',
      /recordings\[0\]: .*bell\.wav is another sound file than "Ferry bell\.wav".*sha256 is [0-9a-f]{64}, not [0-9a-f]{64}\.$/,
    ],
    ['text.patch.json', /bell\.wav cannot be played\. This is no WAV file\.$/],
  ])('%s', (name, says) => {
    for (const args of [
      ['render', name, '--out', 'never.wav'],
      ['check', name, '--seconds', '0.1'],
    ]) {
      const { status, out, lines } = cli(args);
      expect([status, out, lines.length]).toEqual([1, '', 1]);
      expect(lines[0]).toMatch(says);
    }
  });

  it('a patch from standard input, which has no place beside it', () => {
    const { status, lines } = cli(['render', '-', '--out', 'never.wav'], patch([entry]));
    expect([status, lines]).toEqual([
      1,
      [
        'standard input: recordings[0]: The sound file "Ferry bell.wav" lies beside the patch file, which standard input has no place for; name the file.',
      ],
    ]);
  });

  it('a patch that plays a recording it does not list', () => {
    const { status, lines } = cli(['check', '-'], patch([entry], { recording: 'gull' }));
    expect(status).toBe(1);
    expect(lines).toEqual(['standard input: blocks[1].settings.recording: There is no recording "gull" in this patch; it has "bell".']);
  });
});
