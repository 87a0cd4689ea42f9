/** The two lines of text above a block: its name and its key settings ("Low voice", "110 Hz saw"). */
import type { BlockSpec, SettingSpec, SettingValue } from '../../patch/blockSpec.ts';
import type { Block } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import type { BlockFace } from './geometry.ts';
import { lowerFirst } from './text.ts';

/**
 * Key settings with a unit always show, unless they are 0; plain factors, choices and switches only where they are not at their default.
 */
export function faceOf(block: Block, spec: BlockSpec): BlockFace {
  const words = spec.keySettings.flatMap((id) => {
    const setting = findSetting(spec, id);
    if (!setting || setting.type === 'list') return [];
    const value = settingValue(block, setting);
    const standsOut = setting.type === 'number' && setting.unit ? value !== 0 : value !== setting.default;
    if (!standsOut) return [];
    return [setting.type === 'switch' ? `${lowerFirst(setting.title)} ${value ? 'on' : 'off'}` : lowerFirst(formatValue(value, setting))];
  });
  return { label: block.label || spec.title, line: words.join('  ') };
}

function formatValue(value: SettingValue, setting: SettingSpec): string {
  if (setting.type === 'choice') return setting.choiceTitles?.[setting.choices.indexOf(String(value))] ?? String(value);
  return `${Number(Number(value).toPrecision(4))}${setting.type === 'number' && setting.unit ? ` ${setting.unit}` : ''}`;
}
