/**
 * Where each port and setting of a block lies in its struct. The generator writes the AssemblyScript
 * classes from this, the plan writes memory images with it: one rule for both sides.
 */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { settingWidth } from '../../patch/settings.ts';

/** Bytes of `BlockHead` (src/dsp/block.ts); the contract test compares it with the module's own figure. */
export const HEAD_BYTES = 88;

/** Offsets of `BlockHead` fields that the plan writes. */
export const HEAD = {
  sampleRate: 0,
  seed: 8,
  patched: 16,
  quality: 20,
  latch: 24,
  gliding: 28,
  nextCut: 32,
  kind: 48,
  memory: 60,
  memoryFrames: 64,
  bytes: 68,
  memoryRate: 72,
  inside: 80,
} as const;

export interface SettingPlace {
  readonly id: string;
  /** Byte offset of the value; a single value is followed by its slope. */
  readonly offset: number;
  readonly width: number;
}

export interface BlockLayout {
  readonly settings: readonly SettingPlace[];
  /** Byte offsets of the pointers, in spec order. */
  readonly inputs: readonly number[];
  /** Outputs, then the hidden bus outputs. */
  readonly outputs: readonly number[];
  /** Where the kernel's own state begins. */
  readonly bytes: number;
}

/** Ids of the outputs including the hidden bus ones, in the order of the layout. */
export function outputIds(spec: BlockSpec): readonly string[] {
  const bus = spec.bus ? [spec.bus.left, spec.bus.right] : [];
  return [...spec.outputs.map((output) => output.id), ...bus];
}

export function layoutOf(spec: BlockSpec): BlockLayout {
  let at = HEAD_BYTES;
  const take = (bytes: number): number => {
    const offset = at;
    at += bytes;
    return offset;
  };
  const settings = spec.settings.map((setting) => {
    const width = settingWidth(setting);
    return { id: setting.id, width, offset: take(setting.type === 'list' ? width * 8 : width * 16) };
  });
  const inputs = spec.inputs.map(() => take(4));
  const outputs = outputIds(spec).map(() => take(4));
  return { settings, inputs, outputs, bytes: Math.ceil(at / 8) * 8 };
}
