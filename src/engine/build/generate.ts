/**
 * Writes what is generated from the block folders: the list of specs and symbols for TypeScript,
 * the struct layouts and the kernel table for AssemblyScript. Adding a block is adding a folder.
 */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { layoutOf, outputIds } from '../plan/layout.ts';

const banner = '// Generated from src/blocks/*/ by `npm run engine`. Do not edit.\n';
const capital = (word: string): string => word.charAt(0).toUpperCase() + word.slice(1);

/** AssemblyScript classes: head, settings with slopes, input and output pointers. */
export function layoutsSource(specs: readonly BlockSpec[]): string {
  const classes = specs.map((spec) => {
    const layout = layoutOf(spec);
    const lines: string[] = [];
    const methods: string[] = [];
    for (const [i, setting] of spec.settings.entries()) {
      const name = capital(setting.id);
      const place = layout.settings[i];
      if (!place) continue;
      if (setting.type === 'recording') continue;
      if (setting.type !== 'list') {
        lines.push(`  setting${name}: f64; slope${name}: f64;`);
        continue;
      }
      for (let k = 0; k < place.width; k++) lines.push(`  list${name}${k}: f64;`);
      for (const [f, field] of setting.fields.entries()) {
        methods.push(
          `  /** Field \`${field.id}\` of record i of \`${setting.id}\`. */`,
          `  @inline ${setting.id}${capital(field.id)}(i: i32): f64 { return load<f64>(changetype<usize>(this) + ${place.offset + f * 8} + (<usize>i) * ${setting.fields.length * 8}); }`,
        );
      }
    }
    for (const input of spec.inputs) lines.push(`  input${capital(input.id)}: usize;`);
    for (const id of outputIds(spec)) lines.push(`  output${capital(id)}: usize;`);
    const inputBits = spec.inputs.map((input, i) => `export const ${spec.type.toUpperCase()}_${input.id.toUpperCase()}: i32 = ${i};`);
    const padded = layout.bytes - (layout.outputs.at(-1) ?? layout.inputs.at(-1) ?? layout.bytes - 4) - 4;
    if (padded > 0 && padded < 8) lines.push('  pad: u32;');
    return `${inputBits.join('\n')}\n@unmanaged export class ${capital(spec.type)}Ports extends BlockHead {\n${lines.join('\n')}\n${methods.join('\n')}\n}\n`;
  });
  return `${banner}import { BlockHead } from '../dsp/block';\n\n${classes.join('\n')}`;
}

/** Which of the optional functions a kernel's source exports. */
export interface KernelFunctions {
  readonly init: boolean;
  readonly message: boolean;
  readonly prepare: boolean;
  readonly tick: boolean;
  readonly ahead: boolean;
}

export function kernelFunctions(source: string): KernelFunctions {
  const has = (name: string): boolean => new RegExp(`export function ${name}\\b`).test(source);
  return {
    init: has('init'),
    message: has('message'),
    prepare: has('prepare'),
    tick: has('tick'),
    ahead: has('ahead'),
  };
}

/** AssemblyScript: the table that the runtime dispatches through, by kind (position in the sorted list of types). */
export function kernelTableSource(specs: readonly BlockSpec[], functions: readonly KernelFunctions[]): string {
  const imports = specs.map((spec) => `import * as ${spec.type} from '../../blocks/${spec.type}/kernel';`);
  const cast = (spec: BlockSpec): string => `changetype<${spec.type}.${capital(spec.type)}>(block)`;
  const cases = (line: (spec: BlockSpec, k: number) => string | undefined): string =>
    specs
      .map((spec, k) => [k, line(spec, k)] as const)
      .filter(([, text]) => text !== undefined)
      .map(([k, text]) => `    case ${k}: ${text} return;`)
      .join('\n');
  const values = (line: (spec: BlockSpec) => string): string => specs.map((spec, k) => `    case ${k}: return ${line(spec)};`).join('\n');
  return `${banner}import { BlockHead } from '../../dsp/block';
${imports.join('\n')}

/** Struct bytes of a kind, head and ports included. */
export function structBytes(kind: u32): u32 {
  switch (kind) {
${values((spec) => `(<u32>offsetof<${spec.type}.${capital(spec.type)}>() + 7) & ~7`)}
    default: return 0;
  }
}

/** Bytes up to the end of the ports, as the compiler laid them out. */
export function portBytes(kind: u32): u32 {
  switch (kind) {
${values((spec) => `<u32>offsetof<layouts.${capital(spec.type)}Ports>()`)}
    default: return 0;
  }
}

/** Function table index of a kind's process. */
export function processIndex(kind: u32): u32 {
  switch (kind) {
${values((spec) => `<u32>changetype<(block: ${spec.type}.${capital(spec.type)}, from: i32, to: i32) => void>(${spec.type}.process).index`)}
    default: return 0;
  }
}

/** Function table index of what does the same for one frame, while no setting glides; a kind's process where it has no tick. */
export function tickIndex(kind: u32): u32 {
  switch (kind) {
${specs
  .map((spec, k) => {
    const name = functions[k]?.tick ? 'tick' : 'process';
    return `    case ${k}: return <u32>changetype<(block: ${spec.type}.${capital(spec.type)}, from: i32, to: i32) => void>(${spec.type}.${name}).index;`;
  })
  .join('\n')}
    default: return 0;
  }
}

/** Before a loop runs frame by frame: what a block can work out for frames 0..frames-1 at once. */
export function lookAhead(kind: u32, block: BlockHead, frames: i32): void {
  switch (kind) {
${cases((spec, k) => (functions[k]?.ahead ? `${spec.type}.ahead(${cast(spec)}, frames);` : undefined))}
    default: return;
  }
}

/** Function table index of a kind's update. */
export function updateIndex(kind: u32): u32 {
  switch (kind) {
${values((spec) => `<u32>changetype<(block: ${spec.type}.${capital(spec.type)}) => void>(${spec.type}.update).index`)}
    default: return 0;
  }
}

/** First state of a new or faulty block; its memory is zero. */
export function initBlock(kind: u32, block: BlockHead): void {
  switch (kind) {
${cases((spec, k) => (functions[k]?.init ? `${spec.type}.init(${cast(spec)});` : undefined))}
    default: return;
  }
}

/** A note or another message to a block, between two frames. */
export function messageBlock(kind: u32, block: BlockHead, code: i32, a: f64, b: f64): void {
  switch (kind) {
${cases((spec, k) => (functions[k]?.message ? `${spec.type}.message(${cast(spec)}, code, a, b);` : undefined))}
    default: return;
  }
}

/** Tables that kernels share between their blocks; called once, before the first plan. */
export function prepareKernels(sampleRate: f64, quality: i32): void {
${specs
  .map((spec, k) => (functions[k]?.prepare ? `  ${spec.type}.prepare(sampleRate, quality);` : ''))
  .filter(Boolean)
  .join('\n')}
}

export const KINDS: u32 = ${specs.length};
`.replace(`${imports.join('\n')}`, `import * as layouts from '../../blocks/layouts.gen';\n${imports.join('\n')}`);
}

/** TypeScript: all specs in the order of kinds. */
export function specListSource(types: readonly string[]): string {
  const lines = types.map((type) => `import { spec as ${type} } from './${type}/spec.ts';`);
  return `${banner}import type { BlockSpec } from '../patch/blockSpec.ts';\n${lines.join('\n')}\n\n/** Every block; the position is the kernel's kind. */\nexport const specs: readonly BlockSpec[] = [${types.join(', ')}];\n`;
}

/** TypeScript: symbols and help texts by type. */
export function symbolListSource(types: readonly string[]): string {
  const lines = types.map((type) => `import { symbol as ${type} } from './${type}/symbol.ts';`);
  return `${banner}import type { BlockSymbol } from '../patch/symbol.ts';\n${lines.join('\n')}\n\nexport const symbols: Readonly<Record<string, BlockSymbol>> = { ${types.join(', ')} };\n`;
}

export function docsListSource(docs: readonly (readonly [string, string])[]): string {
  const entries = docs.map(([type, text]) => `  ${type}: ${JSON.stringify(text)},`);
  return `${banner}/** Help texts (Markdown) by type. */\nexport const docs: Readonly<Record<string, string>> = {\n${entries.join('\n')}\n};\n`;
}
