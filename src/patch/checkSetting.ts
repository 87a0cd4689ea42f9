/** Is a value one that a setting takes? Side strip, commands and file reading ask the same question here. */
import type { NumberSetting, SettingSpec, SwitchSetting } from './blockSpec.ts';
import { childPath, type Problem, plainNumber, quoted, shown } from './problem.ts';

/** What is wrong with a setting's value; empty if nothing is. `path` is where the value stands. */
export function checkSetting(setting: SettingSpec, value: unknown, path: string): readonly Problem[] {
  switch (setting.type) {
    case 'number':
      return checkNumber(setting, value, path);
    case 'switch':
      return checkSwitch(setting, value, path);
    case 'choice':
      return typeof value === 'string' && setting.choices.includes(value)
        ? []
        : [
            {
              path,
              rule: typeof value === 'string' ? 'out-of-range' : 'wrong-type',
              say: `${setting.title} takes one of ${quoted(setting.choices)}, not ${shown(value)}.`,
            },
          ];
    case 'recording':
      return typeof value === 'string'
        ? []
        : [{ path, rule: 'wrong-type', say: `${setting.title} is the id of one of the patch's recordings, not ${shown(value)}.` }];
    case 'list':
      break;
  }
  if (!Array.isArray(value))
    return [{ path, rule: 'wrong-type', say: `${setting.title} is a list${setting.bare ? '' : ' of records'}, not ${shown(value)}.` }];
  if (value.length > setting.maximumLength) {
    return [{ path, rule: 'too-many', say: `${setting.title} takes at most ${setting.maximumLength} records, not ${value.length}.` }];
  }
  const [only] = setting.fields;
  if (setting.bare && only) return value.flatMap((bare: unknown, i) => checkSetting(only, bare, childPath(path, i)));
  return value.flatMap((record: unknown, i) => checkRecord(setting.title, setting.fields, record, childPath(path, i)));
}

function checkRecord(title: string, fields: readonly (NumberSetting | SwitchSetting)[], record: unknown, path: string): readonly Problem[] {
  if (typeof record !== 'object' || record === null || Array.isArray(record)) {
    return [
      {
        path,
        rule: 'wrong-type',
        say: `Each record of ${title} is an object like { "${fields[0]?.id ?? 'field'}": ... }, not ${shown(record)}.`,
      },
    ];
  }
  return Object.entries(record).flatMap(([id, value]) => {
    const field = fields.find((candidate) => candidate.id === id);
    if (field) return checkSetting(field, value, childPath(path, id));
    return [
      {
        path: childPath(path, id),
        rule: 'unknown-field' as const,
        say: `Records of ${title} have no field "${id}"; they take ${quoted(fields.map((known) => known.id))}.`,
      },
    ];
  });
}

function checkSwitch(setting: SwitchSetting, value: unknown, path: string): readonly Problem[] {
  return typeof value === 'boolean' ? [] : [{ path, rule: 'wrong-type', say: `${setting.title} is true or false, not ${shown(value)}.` }];
}

function checkNumber(setting: NumberSetting, value: unknown, path: string): readonly Problem[] {
  if (typeof value !== 'number')
    return [{ path, rule: 'wrong-type', say: `${setting.title} is a number from ${rangeText(setting)}, not ${shown(value)}.` }];
  if (!Number.isFinite(value))
    return [{ path, rule: 'not-a-value', say: `${setting.title} takes a finite number from ${rangeText(setting)}, not ${value}.` }];
  if (value < setting.minimum || value > setting.maximum) {
    return [{ path, rule: 'out-of-range', say: `${setting.title} goes from ${rangeText(setting)}; ${plainNumber(value)} is outside.` }];
  }
  if (setting.whole && !Number.isInteger(value)) {
    return [
      { path, rule: 'out-of-range', say: `${setting.title} takes whole numbers from ${rangeText(setting)}, not ${plainNumber(value)}.` },
    ];
  }
  return [];
}

/** "16 to 20000 Hz"; plain factors have no unit. */
export function rangeText(setting: NumberSetting): string {
  return `${plainNumber(setting.minimum)} to ${plainNumber(setting.maximum)}${setting.unit ? ` ${setting.unit}` : ''}`;
}
