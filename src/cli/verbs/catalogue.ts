import { specs } from '../../blocks/specs.gen.ts';
import type { BlockSpec, InputSpec, SettingSpec } from '../../patch/blockSpec.ts';
import { DONE, type Verb } from '../verb.ts';

function settingRange(setting: SettingSpec): string {
  switch (setting.type) {
    case 'number':
      return `${setting.minimum}..${setting.maximum}${setting.unit ? ` ${setting.unit}` : ''}, default ${setting.default}`;
    case 'choice':
      return `${setting.choices.join('/')}, default ${setting.default}`;
    case 'switch':
      return `on/off, default ${setting.default ? 'on' : 'off'}`;
    case 'recording':
      return 'the id of a recording';
    case 'list':
      if (setting.bare) return `up to ${setting.maximumLength} of ${setting.fields.map(settingRange).join()}`;
      return `up to ${setting.maximumLength} of {${setting.fields.map((field) => `${field.id} ${settingRange(field)}`).join('; ')}}`;
  }
}

function settingRecord(setting: SettingSpec): object {
  const named = { id: setting.id, title: setting.title, type: setting.type, default: setting.default };
  switch (setting.type) {
    case 'number':
      return { ...named, unit: setting.unit, minimum: setting.minimum, maximum: setting.maximum, whole: setting.whole ?? false };
    case 'choice':
      return { ...named, choices: setting.choices };
    case 'switch':
    case 'recording':
      return named;
    case 'list':
      return { ...named, maximumLength: setting.maximumLength, bare: setting.bare ?? false, fields: setting.fields.map(settingRecord) };
  }
}

function inputRecord(input: InputSpec): object {
  const { id, title, kind, normal = 0, normalSay, amount } = input;
  return { id, title, kind, normal, ...(normalSay === undefined ? {} : { normalSay }), ...(amount === undefined ? {} : { amount }) };
}

function blockRecord(spec: BlockSpec): object {
  const { type, group, title, say } = spec;
  const outputs = spec.outputs.map(({ id, title: name, kind }) => ({ id, title: name, kind }));
  return { type, group, title, say, inputs: spec.inputs.map(inputRecord), outputs, settings: spec.settings.map(settingRecord) };
}

function blockText(spec: BlockSpec): string {
  const ports = (list: readonly { readonly id: string }[]): string => list.map(({ id }) => id).join(', ') || '-';
  const settings = spec.settings.map((setting) => `    ${setting.id}: ${settingRange(setting)}`);
  return [`${spec.type} (${spec.title}): ${spec.say}`, `  in: ${ports(spec.inputs)}`, `  out: ${ports(spec.outputs)}`, ...settings].join(
    '\n',
  );
}

export const catalogue: Verb = {
  usage: '[--json]',
  say: 'lists every block with its ports, settings, ranges, units and defaults',
  options: { json: { type: 'boolean' } },
  takes: [0, 0],
  run: (_args, options, terminal) => {
    terminal.out(options.json ? JSON.stringify({ blocks: specs.map(blockRecord) }, null, 2) : specs.map(blockText).join('\n\n'));
    return DONE;
  },
};
