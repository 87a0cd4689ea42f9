/**
 * What a block is, as data. The memory layout, the file schema, the side strip, the list of functions,
 * the help, the `catalogue` verb, the static checks and the tests all read these specs.
 * `patch` never imports the blocks themselves: whoever needs the catalogue passes it in.
 */

import type { Act, Gives, Job } from './roles.ts';

/** What a signal is mostly used for. It styles the drawing and chooses sensible probes; any output may feed any input. */
export type SignalKind = 'audio' | 'control' | 'gate' | 'pitch';

/** Units as they are written after a number; '' for plain factors. */
export type Unit = '' | 'Hz' | 's' | 'V' | 'dB' | 'cents' | 'semitones' | 'octaves' | 'bpm' | 'oct/V' | 'notes';

/**
 * How an input moves a setting: by adding amount x perVolt per volt to it, or (octaves) by doubling it that often. What counts is
 * held within the range of the setting, or within another one in its unit.
 */
export interface MovesSpec {
  readonly setting: string;
  readonly law: 'add' | 'octaves';
  readonly perVolt: number;
  readonly within?: readonly [least: number, most: number];
}

export interface InputSpec {
  readonly id: string;
  readonly title: string;
  readonly kind: SignalKind;
  /** Volts read while nothing is patched; 0 if left out. */
  readonly normal?: number;
  /** Another input of the block whose cable this one reads while nothing is patched to it. */
  readonly normalFrom?: string;
  /** How an unpatched input is described where the kernel makes its own normal (e.g. "white noise"). */
  readonly normalSay?: string;
  /** The setting that scales this input before it acts. */
  readonly amount?: string;
  /** What a voltage here changes. */
  readonly acts?: Act;
  /** The only outputs that it bears on; left out: all. */
  readonly outputs?: readonly string[];
  /** An input for sync starts the wave afresh only while this holds; else it turns it round. */
  readonly restarts?: SettingIs;
  /** Draw on the left edge (signal) or the bottom edge (control). Left out: audio is left, all else bottom. */
  readonly edge?: 'left' | 'bottom';
  readonly moves?: MovesSpec;
  /** What arrives is bent from so many volts on, counted after the gain of a setting in decibels. */
  readonly bends?: { readonly fromVolts: number; readonly gain?: string };
}

export interface OutputSpec {
  readonly id: string;
  readonly title: string;
  readonly kind: SignalKind;
  /** Completes "at each ...", where it gives gates: "eighth note". */
  readonly each?: string;
  readonly gives?: Gives;
  /** It glides, so that an input for gates sees its edges late: waves without steps, curves. */
  readonly smooth?: boolean;
  /** Steps between notes; the setting (in cents) keeps it from going back and forth between two of them. */
  readonly notes?: { readonly guard: string };
}

interface SettingBase {
  readonly id: string;
  readonly title: string;
  /** One plain sentence for the help. */
  readonly say?: string;
}

export interface NumberSetting extends SettingBase {
  readonly type: 'number';
  readonly unit: Unit;
  readonly minimum: number;
  readonly maximum: number;
  readonly default: number;
  /** How a slider travels: evenly, or by equal ratios (frequencies, times). */
  readonly travel?: 'even' | 'ratio';
  /** Whole numbers only. Whole-number settings switch, all others glide. */
  readonly whole?: boolean;
  /** A hertz value that names a pitch: "A4" may be typed. */
  readonly note?: boolean;
  /** A voltage that names a pitch at 1 V per octave (0 V = C4). */
  readonly pitchVolts?: boolean;
}

/** One of a few words. The kernel sees the index. */
export interface ChoiceSetting extends SettingBase {
  readonly type: 'choice';
  readonly choices: readonly string[];
  /** Screen words for the choices, in the same order; left out: the ids themselves. */
  readonly choiceTitles?: readonly string[];
  readonly default: string;
}

/** On or off; a JSON boolean. The kernel sees 1 or 0. */
export interface SwitchSetting extends SettingBase {
  readonly type: 'switch';
  readonly default: boolean;
}

/** A list of records (sequencer steps, notes of a scale); records and fields left out take the fields' defaults. */
export interface ListSetting extends SettingBase {
  readonly type: 'list';
  readonly maximumLength: number;
  readonly fields: readonly (NumberSetting | SwitchSetting)[];
  /** There is one field and records are its bare values: [true, false], not [{ on: true }, { on: false }]. */
  readonly bare?: boolean;
  /** What each record is called (C, C#...); left out: its number. */
  readonly recordTitles?: readonly string[];
  readonly default: readonly [];
}

/** A record of a list by field; fields left out take their defaults. */
export type ListRecord = Readonly<Record<string, number | boolean>>;

/** A sound file of the patch, by the id of its recording; '' for none. The kernel finds it in its block's memory. */
export interface RecordingSetting extends SettingBase {
  readonly type: 'recording';
  readonly default: '';
}

export type SettingSpec = NumberSetting | ChoiceSetting | SwitchSetting | ListSetting | RecordingSetting;

/** When a flow or a need does not apply: the named setting has this value. */
export interface SettingIs {
  readonly setting: string;
  readonly is: SettingValue;
}

/** How signal passes through a block, for the reasons why a patch is silent. */
export interface FlowSpec {
  readonly from: readonly string[];
  readonly to: readonly string[];
  /**
   * The flow is shut while all of this holds: the resting settings are 0 and none of the inputs is patched.
   * `say` completes "LABEL is silent: ..." in plain words.
   */
  readonly shutWhen?: { readonly settingsAtZero: readonly string[]; readonly unpatched: readonly string[]; readonly say: string };
  /** Per input: the level setting that scales it (0 = nothing passes). */
  readonly levels?: Readonly<Record<string, string>>;
  /**
   * While nothing else moves at the block, what comes out for a sum of voltages is the sum of what comes out for each of them (and
   * of what comes out for none), as far as the rails leave room.
   */
  readonly linear?: boolean;
  /** What comes out is of the kind of what goes in (amplifier, mixer): the drawing styles the cables so. */
  readonly keepsKind?: boolean;
  /** From this value of the setting on the block sounds by itself; a cable into one of the inputs may bring it there. */
  readonly alone?: { readonly setting: string; readonly atLeast: number; readonly orPatched?: readonly string[] };
  /** A setting chooses what passes: an input does while the setting is nearer than `reach` to its number. */
  readonly picks?: { readonly setting: string; readonly at: Readonly<Record<string, number>>; readonly reach: number };
  /** A gate that goes high where the voltage of an input, or of another output, reaches that of a setting. */
  readonly threshold?: { readonly of: string; readonly setting: string };
  /** A filter: the setting that is its corner frequency, and what outputs keep of what comes in. */
  readonly corner?: { readonly setting: string; readonly keeps: Readonly<Record<string, 'below' | 'about' | 'above'>> };
}

/** Something without which the listed outputs never move. */
export interface NeedSpec {
  readonly input: string;
  readonly outputs: readonly string[];
  readonly unless?: readonly SettingIs[];
  /** A cable into one of these inputs may do instead. */
  readonly orPatched?: readonly string[];
  /** Volts at which outputs stay meanwhile, where that is not 0. */
  readonly rests?: Readonly<Record<string, number>>;
  /** Completes "LABEL ...": "never starts, because nothing is patched to its gate". */
  readonly say: string;
  /** The same without the reason: "never starts". */
  readonly still: string;
}

/** Settings with which outputs never do anything, whatever comes in. */
export interface MuteSpec {
  readonly outputs: readonly string[];
  /** All of these hold. */
  readonly when?: readonly SettingIs[];
  /** A cable into one of these inputs may help. */
  readonly unlessPatched?: readonly string[];
  /** None of the records that are played (the first ones, as many as `length` says) has all of these fields on, or above 0. */
  readonly noneOf?: { readonly list: string; readonly length: string; readonly fields: readonly string[] };
  /** Completes "LABEL ...": "plays no gates, because none of its steps has one". */
  readonly say: string;
}

export type BlockGroup = 'sound' | 'shape' | 'filter' | 'modulation' | 'envelope' | 'time' | 'space';

export interface BlockSpec {
  /** Equals the folder's name; the contract with documents. */
  readonly type: string;
  readonly group: BlockGroup;
  /** The trade's own word, as on the block and in the list of functions. */
  readonly title: string;
  /** Other words people type when they look for it. */
  readonly also?: readonly string[];
  /** One line under the title in the side strip. */
  readonly say: string;
  /** The word for counting parts: "2 envelopes". */
  readonly part: { readonly one: string; readonly many: string };
  /** Short stem for new ids and labels ("osc" gives osc1, osc2...). */
  readonly stem: string;
  /** What it does in a patch, its main job first. */
  readonly jobs?: readonly Job[];
  readonly inputs: readonly InputSpec[];
  readonly outputs: readonly OutputSpec[];
  readonly settings: readonly SettingSpec[];
  /** Settings shown in the line above the symbol, in order. */
  readonly keySettings: readonly string[];
  /** Paths from inputs to outputs. A block with no flow and with outputs is a source. */
  readonly flows?: readonly FlowSpec[];
  readonly needs?: readonly NeedSpec[];
  readonly mutes?: readonly MuteSpec[];
  /** Receives the notes of the score, the computer keyboard and MIDI. */
  readonly playsNotes?: boolean;
  /** Is pressed by hand while it sounds. */
  readonly pressed?: boolean;
  /**
   * Hidden outputs that the runtime sums into the take, in volts after level and dc block,
   * with the switches that put dc block and ceiling on.
   */
  readonly bus?: {
    readonly left: string;
    readonly right: string;
    readonly level: string;
    readonly dcBlock: string;
    readonly ceiling: string;
  };
  /** Plays the microphone or line input, which is asked for only where a patch has such a block. Silent in takes. */
  readonly liveInput?: boolean;
  /** The output whose rising edges are the beats of the music: probes step along them. */
  readonly beats?: string;
  /** Two of them with the same settings and inputs do not do the same: there is chance in them, or a hand. */
  readonly chancy?: boolean;
  /**
   * Rises and falls once for each edge at one of the inputs `starts`; `attack` is the time of the rise, in seconds, `fall` that of the
   * last fall, by the value of a setting.
   */
  readonly envelope?: {
    readonly starts: readonly string[];
    readonly output: string;
    readonly peakVolts: number;
    readonly attack: string;
    readonly fall?: { readonly by: string; readonly of: Readonly<Record<string, string>> };
  };
  /** Keeps at each edge of one input what another one brings. */
  readonly holds?: { readonly input: string; readonly trigger: string; readonly output: string };
  /** Plays so many steps, one for each edge at an input. */
  readonly row?: { readonly clock: string; readonly length: string };
  /** Beats of its own: the setting is in Hz or bpm. Not while an input is patched. `swing` delays every second one; `even` is none. */
  readonly tempo?: {
    readonly setting: string;
    readonly unlessPatched?: string;
    readonly swing?: { readonly setting: string; readonly even: number };
  };
  /** Gates leave later than they come by so many seconds. */
  readonly gateDelay?: string;
  /** Makes frequencies that are not in what comes in, which may fold back at the sample rate. */
  readonly overtones?: boolean;
  /** What comes out goes in again, times a setting; from `growsFrom` on it grows. */
  readonly feedback?: { readonly setting: string; readonly growsFrom: number };
  /** Plays at `hertz` while its pitch inputs are at 0 V; the others move that: an octave, a semitone or a cent each, by unit. */
  readonly tuned?: { readonly hertz: string; readonly output: string };
  /** Private memory beyond the state struct, in seconds of float32 at the engine rate. */
  readonly memorySeconds?: number;
}

export type SettingValue = number | string | boolean | readonly ListRecord[] | readonly (number | boolean)[];

/** All blocks there are, by type. */
export type Catalogue = ReadonlyMap<string, BlockSpec>;

export function createCatalogue(specs: readonly BlockSpec[]): Catalogue {
  return new Map(specs.map((spec) => [spec.type, spec]));
}

/** The edge on which an input is drawn: signals enter on the left, control rises from below. */
export function inputEdge(input: InputSpec): 'left' | 'bottom' {
  return input.edge ?? (input.kind === 'audio' ? 'left' : 'bottom');
}
