/** The two lines of text above a block. */
import type { BlockSpec } from '../../patch/blockSpec.ts';
import type { Block } from '../../patch/document.ts';
import { findSetting, settingValue } from '../../patch/settings.ts';
import type { BlockFace } from '../../sheet/drawing/geometry.ts';

/** Its name and its key settings: "Low voice", "110 Hz". */
export function faceOf(block: Block, spec: BlockSpec): BlockFace {
  const words = spec.keySettings.flatMap((id) => {
    const setting = findSetting(spec, id);
    if (!setting || setting.type === 'list') return [];
    const value = settingValue(block, setting);
    if (setting.type === 'choice') return [setting.choiceTitles?.[setting.choices.indexOf(String(value))] ?? String(value)];
    if (setting.type === 'switch') return value ? [setting.title.toLowerCase()] : [];
    return [`${Number(Number(value).toPrecision(4))}${setting.unit ? ` ${setting.unit}` : ''}`];
  });
  return { label: block.label || block.id, line: words.join('  ') };
}
