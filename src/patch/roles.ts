/**
 * What blocks and ports are for, in a patch as people talk about it. Descriptions of patches and the search for known constructions read
 * these words instead of types, so that a new block joins in by saying what it does.
 */

/** What a voltage or a gate at an input changes. Inputs that carry the signal itself (a flow's `from`) have none. */
export type Act =
  // how fast it swings: in octaves; in hertz; starting afresh
  | 'pitch'
  | 'frequency'
  | 'sync'
  // what it sounds like
  | 'width'
  | 'cutoff'
  | 'resonance'
  | 'fold'
  | 'drive'
  | 'symmetry'
  // how loud, from where
  | 'level'
  | 'pan'
  | 'mix'
  // how fast something slow goes, how long something takes
  | 'rate'
  | 'tempo'
  | 'time'
  | 'attack'
  | 'decay'
  | 'release'
  // what is chosen
  | 'transpose'
  | 'address'
  | 'direction'
  | 'chance'
  | 'threshold'
  | 'start'
  | 'hits'
  // gates: begin once, one further, hold this voltage, back to the start, go on while high, change over
  | 'fire'
  | 'clock'
  | 'hold'
  | 'reset'
  | 'run'
  | 'toggle';

/** What a block does in a patch. A block may have several jobs, the one it is mostly used for first. */
export type Job =
  // where sound comes from
  | 'tone'
  | 'noise'
  | 'drum'
  | 'playback'
  | 'live'
  // what it passes through
  | 'gain'
  | 'filter'
  | 'pluck'
  | 'shape'
  | 'multiply'
  | 'sum'
  | 'place'
  | 'fade'
  | 'echo'
  | 'room'
  // voltages that are handed on
  | 'scale'
  | 'fixed'
  | 'smooth'
  | 'quantize'
  | 'choose'
  | 'deal'
  | 'rectify'
  // voltages that are made
  | 'cycle'
  | 'envelope'
  | 'random'
  | 'shift'
  | 'follow'
  | 'sequence'
  // gates
  | 'compare'
  | 'clock'
  | 'divide'
  | 'times'
  | 'pattern'
  | 'delayGate'
  | 'logic'
  | 'flip'
  | 'lot'
  // a person
  | 'hand';

/** What an output is beside the others of its block. */
export type Gives =
  /** The main one upside down. */
  | 'inverted'
  /** High while the main one is low. */
  | 'opposite'
  | 'attackEnd'
  | 'cycleEnd';
