import type { Check } from './check.ts';

/** The works that rows are taken from, named once. */
export const works = {
  iso16: 'ISO 16:1975, A4 = 440 Hz; twelve equal steps to the octave',
  voltPerOctave: '1 V per octave, common practice',
  webAudioOscillator: 'W3C Web Audio API, oscillator coefficients',
  fourierPulse: 'Fourier series of the rectangular pulse, 4 / (n pi) |sin(pi n w)|',
  meanSquare: 'integral of the square over one period',
  chowning: 'J. M. Chowning, J. Audio Eng. Soc. 21(7), 1973; DLMF 10.12.2 and 10.12.3 (Jacobi-Anger)',
  jacobiAnger: 'sine of a sine as a series of Bessel functions, DLMF 10.12.2 and 10.12.3',
  besselI: 'DLMF 10.32.1: the mean of 2^(a sin x) is I0(a ln 2)',
  product: 'product-to-sum identity of the cosines',
  twoPole: 'analog two-pole responses, prewarped bilinear; equal to the W3C Audio EQ Cookbook biquads',
  ladder: '1 / ((1 + s)^4 + k): T. Stilson and J. O. Smith, ICMC 1996; T. Stinchcombe 2008; prewarped bilinear',
  firstOrder: 'first-order high-pass s / (1 + s), prewarped bilinear',
  capacitor: 'charge of a capacitor, 1 - e^(-t / tau); W3C Web Audio API, setTargetAtTime',
  straightLine: 'straight line: time = step / rate',
  linearGain: 'gain = control voltage / full scale',
  decibelsPerVolt: 'constant decibels per volt, as in the SSM2164 data sheet',
  equalPower: 'W3C Web Audio API, equal-power panning: cosine and sine',
  bandwidthTime: 'power per hertz falls by 10 dB (pink) or 20 dB (red) per decade; limits from the bandwidth-time product',
  uniform: 'moments, Kolmogorov-Smirnov and chi-square limits that fail once in a million runs (statistics texts, SciPy)',
  binomial: 'binomial distribution, five standard deviations',
  raisedCosine: 'mean of w^2 + (1 - w)^2 over a raised cosine: 3/4 of the variance of the draws',
  lightCell: "J. Parker and S. D'Angelo, DAFx-13, 2013: light into resistance A / I^1.4 + B, two time constants (constants from memory)",
  backwards: 'M. R. Schroeder, J. Acoust. Soc. Am. 37, 1965, backward integration; ISO 3382-1, T20',
  string: 'K. Karplus and A. Strong, Computer Music Journal 7(2), 1983; ISO 16:1975, A4 = 440 Hz',
  toussaint: 'G. T. Toussaint, Proceedings of BRIDGES 2005, pages 47 to 56',
  tonal: 'scales as in the dictionary of the tonal library',
  tempo: 'quarter note = 60 / bpm seconds; 24 ticks to the quarter as in MIDI clock',
  swing: 'share of a pair of sixteenths given to the first: R. Linn, Attack Magazine, July 2013',
  bspline: 'cubic B-spline correction of steps, computed after V. Valimaki, J. Pekonen and J. Nam, J. Acoust. Soc. Am. 131(1), 2012',
  bs1770: 'ITU-R BS.1770-5, Annex 1',
  bs1770peak: 'ITU-R BS.1770-5, Annex 2',
  tech3341: 'EBU Tech 3341 v4, Table 1',
  tech3342: 'EBU Tech 3342, Table 1',
  ownMark: "the project's own mark",
} as const;

/** A rule that a block's own test holds, by words of its title, and where its numbers come from. */
export interface OwnTest {
  readonly title: string;
  /** The rule in plain words, where the title is a pattern. */
  readonly say?: string;
  readonly source: string;
}

const definition = (title: string, say?: string): OwnTest => ({ title, source: 'definition', ...(say ? { say } : {}) });

/**
 * What is held against a source in the block's own test (src/blocks/TYPE/TYPE.test.ts) and not in a topic. Blocks that are not in
 * the catalogue yet may stand here already.
 */
export const ownTests: Readonly<Record<string, readonly OwnTest[]>> = {
  attenuverter: [definition('out = in x gain + offset')],
  button: [definition('momentary: the gate is high while the button is down')],
  choose: [definition('passes %i inputs in turn', 'passes its inputs in turn')],
  clock: [
    { title: 'pulses at the published intervals', source: works.tempo },
    { title: '$swing_percent % at $bpm bpm', say: 'swings the second sixteenth by the published times', source: works.swing },
  ],
  comparator: [definition('a sine gives a pulse whose edges lie where it crosses the trip points')],
  contour: [
    {
      title: 'passes half of the peak where an RC attack aiming at',
      say: 'an attack is at half its peak when the capacitor is',
      source: works.capacitor,
    },
  ],
  delay: [
    definition(
      'come after `time`, each `feedback` times the one before',
      'echoes come after the time, each the feedback times the one before',
    ),
  ],
  distribute: [definition('hands the input to %i outputs in turn', 'hands the input to its outputs in turn')],
  drum: [
    definition('falls in pitch and loudness as stated, from the frame of its trigger on'),
    { title: 'tone 1 has the partials of a triangle', source: works.webAudioOscillator },
  ],
  divider: [definition('the first clock fires all, then every N-th')],
  euclidean: [
    {
      title: 'is spread as evenly as whole steps allow',
      say: 'any number of hits is spread as evenly as whole steps allow',
      source: 'J. Clough and J. Douthett, Journal of Music Theory 35, 1991',
    },
  ],
  external: [
    {
      title: 'at %f dB turns %f of full scale into %f V',
      say: 'the gain in dB is a factor of 10^(dB / 20), 10 V at full scale',
      source: 'definition',
    },
  ],
  filter: [
    { title: 'has the landmarks of Q', say: 'peak, half-power edges and slope', source: works.twoPole },
    {
      title: 'k at resonance %f is %f',
      say: 'damping by resonance',
      source: 'ringing of a damped oscillator, e^(-k w t / 2) (filter texts)',
    },
    { title: 'keeps its mean frequency under audio-rate modulation', source: works.besselI },
  ],
  follower: [{ title: 'an attack has come as far as the published charge', source: works.capacitor }],
  gateDelay: [definition('begins and ends on the frames nearest to the exact times')],
  keys: [{ title: 'all keys of MIDI stand at their voltage', source: works.iso16 }],
  ladder: [
    { title: 'has the landmarks of k', say: 'dc gain, peak, edge and slope', source: works.ladder },
    { title: 'begins at k = 4', say: 'self-oscillation begins at k = 4', source: works.ladder },
    { title: 'keeps its mean frequency under audio-rate modulation', source: works.besselI },
  ],
  latch: [definition('toggle alone divides a clock by two')],
  lfo: [definition('sine, triangle and ramp follow their formulas')],
  logic: [{ title: 'maximum and minimum are those of the voltages', source: 'definition; truth tables of Boolean algebra' }],
  lowpassGate: [
    {
      title: 'answers light ten times as fast as dark at every decay',
      source: 'F. Eichas and U. Zolzer, SPIE 2016, as quoted: on within about 5 ms, off after about 500 ms',
    },
    { title: 'falls faster at the start than its end foretells', source: works.lightCell },
  ],
  mixer: [definition('adds its inputs, each times its level')],
  multiplier: [definition('pulse k falls on the frame nearest to k / N of the interval')],
  noise: [{ title: 'is SplitMix64', say: 'the generator is SplitMix64', source: 'G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014' }],
  oscillator: [
    definition(
      'hard starts the wave afresh where the straight line between two frames crosses 0 V',
      'hard sync starts the wave between two frames',
    ),
  ],
  output: [definition('is a factor of 10^(dB / 20)', 'the level in dB is a factor of 10^(dB / 20)')],
  quantizer: [{ title: '%s has the notes that tonal gives it', say: 'every scale has the notes that tonal gives it', source: works.tonal }],
  random: [definition('smooth goes from draw to draw in a raised cosine')],
  rectifier: [{ title: 'of a rectified sine is the series of |sin|', source: 'Fourier series of the rectified sine' }],
  reverb: [
    { title: 'fills with echoes: density of noise', source: 'J. S. Abel and P. Huang, AES 121st Convention, 2006' },
    { title: 'its spectrum is that of noise', source: 'M. R. Schroeder 1954: Rayleigh distribution of diffuse sound' },
  ],
  sampleHold: [definition('takes the input on the exact frame of the edge and holds it')],
  samplePlayer: [
    definition('gives the file sample by sample'),
    { title: 'a single cycle makes a steady tone', say: 'a single cycle sounds at its pitch, 1 V per octave', source: works.voltPerOctave },
  ],
  saturator: [definition('small signals get louder by the drive')],
  select: [definition('passes input %i to the bit', 'passes the chosen input to the bit')],
  sequencer: [definition('repeats strike evenly within the step, on rounded frames')],
  shiftRegister: [definition('each output is one clock behind the one before')],
  voltages: [definition('puts out exactly what is set, over the whole range')],
  wavefolder: [definition('a steady voltage comes out as 5 sin(')],
};

export interface Held {
  readonly block: string;
  readonly title: string;
  readonly source: string;
  /** Published values; 0 for a rule of the block's own test, which has its values there. */
  readonly rows: number;
}

/** All that a block, or another part, is held against: rows of topics first, then its own tests. */
export function heldBy(block: string, checks: readonly Check[]): readonly Held[] {
  return [
    ...checks.filter((check) => check.block === block).map(({ title, source, rows }) => ({ block, title, source, rows: rows.length })),
    ...(ownTests[block] ?? []).map(({ title, say, source }) => ({ block, title: say ?? title, source, rows: 0 })),
  ];
}
