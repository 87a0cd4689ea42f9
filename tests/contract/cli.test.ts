// @vitest-environment node
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import wavefile from 'wavefile';

/** The command line as a person runs it: a process with arguments, files, two streams and an exit status. */
const root = join(dirname(fileURLToPath(import.meta.url)), '../..');
const folder = mkdtempSync(join(tmpdir(), 'sketchbook-cli-'));
const file = (name: string): string => join(folder, name);

interface Run {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

function cli(args: readonly string[], input = ''): Run {
  const run = spawnSync(process.execPath, [join(root, 'src/cli/run.mjs'), ...args], { encoding: 'utf8', input, cwd: folder });
  return { status: run.status, out: run.stdout, err: run.stderr };
}

const lines = (text: string): string[] => text.split('\n').filter((line) => line !== '');

function patch(fields: object): string {
  return JSON.stringify({ format: 'signal-sketchbook/patch', version: 1, ...fields });
}

/** 3 V all the time, and a triangle that is heard. */
const quay = patch({
  title: 'Quay lamp',
  seconds: 0.5,
  blocks: [
    { id: 'lamp', type: 'attenuverter', settings: { gain: 0, offset: 3 } },
    { id: 'horn', type: 'oscillator', settings: { tune: 220 } },
    { id: 'out', type: 'output', settings: {} },
  ],
  cables: [{ from: ['horn', 'triangle'], to: ['out', 'left'] }],
  variations: [{ id: 'dark', title: 'Lamp out', changes: [{ set: ['lamp', 'offset'], value: -2 }, { disconnect: ['out', 'left'] }] }],
});

beforeAll(() => {
  writeFileSync(file('quay.patch.json'), quay);
  // The first call may have to build the bundle.
  expect(cli(['catalogue']).status).toBe(0);
}, 120_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('usage', () => {
  it.each([
    ['no verb', []],
    ['an unknown verb', ['brew']],
    ['an unknown option', ['catalogue', '--loud']],
    ['a missing file name', ['check']],
    ['a file that is not there', ['check', 'nowhere.patch.json']],
    ['a file too many', ['render', 'quay.patch.json', 'quay.patch.json']],
    ['a rate outside 44100 to 192000', ['render', 'quay.patch.json', '--rate', '8000']],
    ['a quality that there is not', ['render', 'quay.patch.json', '--quality', '3']],
    ['a format that there is not', ['render', 'quay.patch.json', '--format', '12']],
    ['seconds that are no number', ['render', 'quay.patch.json', '--seconds', 'long']],
    ['a tap without a file', ['render', 'quay.patch.json', '--tap', 'lamp.out']],
    ['a tap of an output that is not there', ['render', 'quay.patch.json', '--tap', 'lamp.top=top.f32']],
    ['a variation that is not there', ['render', 'quay.patch.json', '--variation', 'noon']],
    ['two questions at once', ['explain', 'quay.patch.json', '--silent', '--input', 'out.left']],
    ['an input that is no place', ['explain', 'quay.patch.json', '--input', 'out']],
    ['an input of a block that is not there', ['explain', 'quay.patch.json', '--input', 'moon.left']],
    ['an input that is not there', ['explain', 'quay.patch.json', '--input', 'out.middle']],
    ['a sheet without a file to write', ['sheet', 'quay.patch.json']],
  ])('%s ends with status 2 and one line', (_what, args) => {
    const { status, out, err } = cli(args);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(lines(err)).toHaveLength(1);
  });

  it('--help explains every verb', () => {
    const { status, out } = cli(['--help']);
    expect(status).toBe(0);
    for (const verb of ['render', 'check', 'explain', 'parts', 'sheet', 'catalogue', 'bench']) expect(out).toContain(verb);
  });

  it('a second call uses the bundle of the first', () => {
    const bundle = join(root, '.cache/cli/cli.mjs');
    const before = statSync(bundle).mtimeMs;
    expect(cli(['catalogue']).status).toBe(0);
    expect(statSync(bundle).mtimeMs).toBe(before);
  });
});

describe('refused documents', () => {
  const block = (fields: object): string => patch({ blocks: [fields], cables: [] });
  it.each([
    ['text that is not JSON', '{ "format":', /JSON/],
    ['an unknown type', block({ id: 'a', type: 'teapot' }), /teapot/],
    ['a value outside its range', block({ id: 'a', type: 'vca', settings: { level: 2 } }), /settings/],
    [
      'a document from the future',
      JSON.stringify({ format: 'signal-sketchbook/patch', version: 99, blocks: [], cables: [] }),
      /newer version/,
    ],
  ])('%s: status 1, and a line that names the place', (_what, text, says) => {
    for (const verb of ['check', 'parts', 'render']) {
      const { status, out, err } = cli([verb, '-'], text);
      expect(status).toBe(1);
      expect(out).toBe('');
      expect(lines(err).join('\n')).toMatch(says);
    }
  });

  it('each fault of a document has a line of its own', () => {
    const { err } = cli(
      ['check', '-'],
      patch({
        blocks: [
          { id: 'a', type: 'teapot' },
          { id: 'b', type: 'vca', settings: { level: 9 } },
        ],
        cables: [],
      }),
    );
    expect(lines(err)).toHaveLength(2);
  });
});

describe('catalogue', () => {
  it('lists exactly the blocks that have a folder', () => {
    const { blocks } = JSON.parse(cli(['catalogue', '--json']).out) as { blocks: { type: string }[] };
    const folders = readdirSync(join(root, 'src/blocks'), { withFileTypes: true }).filter((entry) => entry.isDirectory());
    expect(blocks.map(({ type }) => type).sort()).toEqual(folders.map(({ name }) => name).sort());
  });

  it('states ports, ranges, units and defaults', () => {
    const { blocks } = JSON.parse(cli(['catalogue', '--json']).out);
    // Values from the block catalogue in the project's design.
    const filter = blocks.find(({ type }: { type: string }) => type === 'filter');
    expect(filter.inputs.map(({ id }: { id: string }) => id)).toEqual(['in', 'pitch', 'cv', 'cv2', 'resonanceCv']);
    expect(filter.outputs.map(({ id }: { id: string }) => id)).toEqual(['lowpass', 'bandpass', 'highpass', 'notch']);
    expect(filter.settings).toContainEqual(
      expect.objectContaining({ id: 'cutoff', unit: 'Hz', minimum: 16, maximum: 20000, default: 1000 }),
    );
  });
});

describe('render', () => {
  const read = (name: string) => new wavefile.WaveFile(readFileSync(file(name)));
  const floats = (name: string): Float32Array => {
    const bytes = readFileSync(file(name));
    return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
  };

  it.each([
    ['16', '16', 1],
    ['24', '24', 1],
    ['float', '32f', 3],
  ])('writes %s-bit WAV of round(N x rate) frames', (format, depth, code) => {
    const { status, err } = cli([
      'render',
      'quay.patch.json',
      '--seconds',
      '0.12345',
      '--rate',
      '44100',
      '--format',
      format,
      '--out',
      `${format}.wav`,
    ]);
    expect([status, err]).toEqual([0, '']);
    const wav = read(`${format}.wav`);
    expect(wav.bitDepth).toBe(depth);
    expect(wav.fmt).toMatchObject({ audioFormat: code, numChannels: 2, sampleRate: 44100 });
    expect((wav.getSamples(false, Float64Array) as unknown as Float64Array[])[0]).toHaveLength(Math.round(0.12345 * 44100));
  });

  it('gives the same bytes every time, from a file and from standard input', () => {
    cli(['render', 'quay.patch.json', '--out', 'one.wav']);
    cli(['render', '-', '--out', 'two.wav'], quay);
    expect(readFileSync(file('one.wav')).equals(readFileSync(file('two.wav')))).toBe(true);
    const [left] = read('one.wav').getSamples(false, Float64Array) as unknown as Float64Array[];
    expect(left?.some((sample) => sample !== 0)).toBe(true);
  });

  it('writes a tap as raw volts, one float32 a frame', () => {
    const { status } = cli(['render', 'quay.patch.json', '--tap', 'lamp.out=lamp.f32', '--tap', 'horn.triangle=horn.f32']);
    expect(status).toBe(0);
    const lamp = floats('lamp.f32');
    expect(lamp).toHaveLength(24000);
    expect(lamp.every((volts) => volts === 3)).toBe(true);
    // A triangle of +-5 V: RMS 5 / sqrt(3).
    const horn = floats('horn.f32');
    const rms = Math.sqrt(horn.reduce((sum, volts) => sum + volts * volts, 0) / horn.length);
    expect(rms).toBeCloseTo(5 / Math.sqrt(3), 2);
  });

  it('a variation changes what is rendered', () => {
    cli(['render', 'quay.patch.json', '--variation', 'dark', '--tap', 'lamp.out=dark.f32', '--out', 'dark.wav']);
    expect(floats('dark.f32').every((volts) => volts === -2)).toBe(true);
    const [left] = read('dark.wav').getSamples(false, Float64Array) as unknown as Float64Array[];
    expect(left?.every((sample) => sample === 0)).toBe(true);
  });

  it('reports levels in the units their names promise', () => {
    const tone = patch({
      seconds: 2,
      blocks: [
        { id: 'horn', type: 'oscillator', settings: { tune: 997 } },
        { id: 'out', type: 'output', settings: { level: 0 } },
      ],
      cables: [{ from: ['horn', 'sine'], to: ['out', 'left'] }],
    });
    expect(cli(['render', '-', '--report', 'report.json'], tone).status).toBe(0);
    const report = JSON.parse(readFileSync(file('report.json'), 'utf8'));
    expect(report.seconds).toBe(2);
    expect(report.realtimeRatio).toBeGreaterThan(1);
    // A 5 V sine against 10 V full scale: -6.02 dBFS.
    expect(report.peakDbfs).toBeCloseTo(-6.02, 1);
    expect(report.truePeakDbtp).toBeCloseTo(-6.02, 1);
    // ITU-R BS.1770-5: a 0 dBFS sine of 997 Hz in one channel measures -3.01 LUFS; two channels at -6.02 dB give -6.02.
    expect(report.loudnessLufs).toBeCloseTo(-6.02, 1);
    expect(Math.abs(report.dcVolts.left)).toBeLessThan(0.01);
    expect(Array.isArray(report.findings)).toBe(true);
  });

  it('reports direct voltage from before the dc block, and no level for silence', () => {
    const still = patch({
      seconds: 1,
      blocks: [
        { id: 'lamp', type: 'attenuverter', settings: { gain: 0, offset: 3 } },
        { id: 'out', type: 'output', settings: { level: 0 } },
      ],
      cables: [{ from: ['lamp', 'out'], to: ['out', 'left'] }],
    });
    cli(['render', '-', '--report', 'still.json'], still);
    expect(JSON.parse(readFileSync(file('still.json'), 'utf8')).dcVolts).toEqual({ left: 3, right: 3 });
    cli(['render', '-', '--report', 'none.json'], patch({ seconds: 1, blocks: [], cables: [] }));
    expect(JSON.parse(readFileSync(file('none.json'), 'utf8'))).toMatchObject({ peakDbfs: null, truePeakDbtp: null, loudnessLufs: null });
  });
});

describe('check', () => {
  const silent = patch({
    blocks: [
      { id: 'horn', type: 'oscillator' },
      { id: 'out', type: 'output' },
    ],
    cables: [],
  });

  it('says what keeps a patch silent', () => {
    const { out } = cli(['check', '-'], silent);
    expect(out).toContain('out');
    const { findings } = JSON.parse(cli(['check', '-', '--json'], silent).out);
    expect(findings.length).toBeGreaterThan(0);
    for (const finding of findings) {
      expect(Object.keys(finding)).toEqual(expect.arrayContaining(['id', 'severity', 'block', 'say']));
    }
  });

  it('with --seconds also tells what is heard in a take, and with --why what makes it so', () => {
    const doubled = patch({
      blocks: [
        { id: 'horn', type: 'oscillator' },
        { id: 'mix', type: 'mixer' },
        { id: 'out', type: 'output', settings: { level: 6 } },
      ],
      cables: [
        { from: ['horn', 'sine'], to: ['mix', 'in1'] },
        { from: ['horn', 'sine'], to: ['mix', 'in2'] },
        { from: ['horn', 'sine'], to: ['mix', 'in3'] },
        { from: ['mix', 'sum'], to: ['out', 'left'] },
      ],
    });
    const ids = (args: readonly string[]) => JSON.parse(cli(args, doubled).out).findings.map(({ id }: { id: string }) => id);
    expect(ids(['check', '-', '--json'])).toEqual([]);
    expect(ids(['check', '-', '--seconds', '1', '--json'])).toEqual(expect.arrayContaining(['clipped', 'ceiling-busy']));
    const { status, out } = cli(['check', '-', '--seconds', '1', '--why', 'loud', '--json'], doubled);
    expect(status).toBe(0);
    expect(JSON.parse(out).reasons).toMatchObject([{ complaint: 'loud', say: expect.stringContaining('LUFS') }]);
    expect(cli(['check', '-', '--why', 'distorted', '--seconds', '1'], doubled).out).toContain('cut off at 12 V');
    expect(cli(['check', '-', '--why', 'so'], doubled).status).toBe(2);
  });

  it('ends with status 1 exactly where a finding is an error', () => {
    for (const text of [quay, silent]) {
      const { status, out } = cli(['check', '-', '--json'], text);
      const errors = JSON.parse(out).findings.filter(({ severity }: { severity: string }) => severity === 'error');
      expect(status).toBe(errors.length > 0 ? 1 : 0);
    }
  });
});

describe('explain --input', () => {
  /** Two sines of 2 V and 1 V in a sum, which moves a cutoff. */
  const lamps = patch({
    seconds: 2,
    blocks: [
      { id: 'beam', type: 'lfo', settings: { rate: 1 } },
      { id: 'swell', type: 'lfo', settings: { rate: 3 } },
      { id: 'sum', type: 'mixer', settings: { level1: 0.4, level2: 0.2 } },
      { id: 'fog', type: 'filter', settings: { cutoff: 400 } },
    ],
    cables: [
      { from: ['beam', 'sine'], to: ['sum', 'in1'] },
      { from: ['swell', 'sine'], to: ['sum', 'in2'] },
      { from: ['sum', 'sum'], to: ['fog', 'cv'] },
    ],
  });

  it('gives the shares of an input in sentences, and as JSON the same without what is only drawn', () => {
    const { status, out } = cli(['explain', '-', '--input', 'fog.cv'], lamps);
    expect(status).toBe(0);
    expect(out).toContain('67 % of it comes from beam, 33 % from swell.');
    const { movers, say } = JSON.parse(cli(['explain', '-', '--input', 'fog.cv', '--seconds', '1', '--json'], lamps).out);
    expect(movers.map(({ key, method, cables }: Record<string, unknown>) => [key, method, cables])).toEqual([
      ['beam', 'exact', ['sum.in1', 'fog.cv']],
      ['swell', 'exact', ['sum.in2', 'fog.cv']],
    ]);
    expect(movers[0].movement.columns).toBeUndefined();
    expect(say.length).toBeGreaterThan(1);
  });

  it('takes a setting too, and says its value in its own unit', () => {
    expect(cli(['explain', '-', '--input', 'fog.cutoff'], lamps).out).toMatch(/^"Cutoff" of fog moves between \d+ Hz and [\d.]+ kHz/);
  });
});

describe('explain', () => {
  it('says in sentences what a patch does, and the same as JSON', () => {
    const { status, out } = cli(['explain', 'quay.patch.json']);
    expect(status).toBe(0);
    // 220 Hz is A3 (A4 = 440 Hz, ISO 16)
    expect(out).toContain('One oscillator sounds: horn (triangle, 220 Hz, A3).');
    const record = JSON.parse(cli(['explain', '-', '--seconds', '0.25', '--json'], quay).out);
    expect(record.seconds).toBe(0.25);
    expect(record.sentences[0]).toMatchObject({ about: 'sound', blocks: ['horn'] });
    expect(record.constructions).toEqual([]);
  });

  it('refuses a document as every verb does', () => {
    expect(cli(['explain', '-'], '{').status).toBe(1);
  });
});

describe('parts and sheet', () => {
  it('parts counts the functions', () => {
    const { out } = cli(['parts', 'quay.patch.json', '--json']);
    const { parts } = JSON.parse(out);
    expect(parts).toContainEqual(expect.objectContaining({ type: 'oscillator', count: 1 }));
    expect(parts).toHaveLength(3);
    expect(cli(['parts', 'quay.patch.json']).out).toContain('1 oscillator');
  });

  it('sheet writes one page that needs nothing else', () => {
    expect(cli(['sheet', 'quay.patch.json', '--out', 'quay.html']).status).toBe(0);
    const html = readFileSync(file('quay.html'), 'utf8');
    expect(html).toContain('Quay lamp');
    expect(html).toContain('<svg');
    expect(html).not.toMatch(/(?:src|href)="(?!#|data:)|@import|url\((?!#|data:)/);
  });
});

describe('explain --silent', () => {
  const swell = patch({
    seconds: 0.5,
    blocks: [
      { id: 'horn', type: 'oscillator' },
      { id: 'swell', type: 'lfo', settings: { range: 'unipolar', rate: 4 } },
      { id: 'amp', type: 'vca', label: 'Bellows', settings: { cvAmount: 0 } },
      { id: 'out', type: 'output' },
    ],
    cables: [
      { from: ['horn', 'saw'], to: ['amp', 'in'] },
      { from: ['swell', 'sine'], to: ['amp', 'cv'] },
      { from: ['amp', 'out'], to: ['out', 'left'] },
    ],
  });

  it('names the place, the reason and the edit that brings sound', () => {
    const { status, out, err } = cli(['explain', '-', '--silent'], swell);
    expect([status, err]).toEqual([0, '']);
    expect(lines(out)).toEqual([
      'amp: Bellows stays closed: "CV amount" is at 0, so what comes to its input "CV", fed by swell, does nothing.',
      '  To mend it: Set "CV amount" of Bellows to 1.',
      'Tried: with this edit it sounds.',
    ]);
  });

  it('gives the same as JSON', () => {
    const record = JSON.parse(cli(['explain', '-', '--silent', '--json', '--seconds', '0.25'], swell).out);
    expect(record).toMatchObject({ silent: true, seconds: 0.25, levelDb: null, tried: true });
    expect(record.findings).toHaveLength(1);
    expect(record.findings[0]).toMatchObject({
      id: 'amount-zero',
      block: 'amp',
      place: ['amp', 'cvAmount'],
      fix: { changes: [{ set: ['amp', 'cvAmount'], value: 1 }] },
    });
  });

  it('says of a patch that sounds that it does', () => {
    expect(cli(['explain', 'quay.patch.json', '--silent']).out).toBe('It is not silent: something is heard in the 0.5 s of the take.\n');
  });
});
