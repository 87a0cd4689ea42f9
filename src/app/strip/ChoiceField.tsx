/** One of a few words, or on and off. */
import { useId } from 'react';
import type { ChoiceSetting, SwitchSetting } from '../../patch/blockSpec.ts';

interface ChoiceProps {
  readonly setting: ChoiceSetting;
  readonly value: string;
  readonly onSet: (value: string) => void;
}

/** More choices than this are a list that opens. */
const MOST_IN_SIGHT = 8;

export function ChoiceField({ setting, value, onSet }: ChoiceProps) {
  const name = useId();
  if (setting.choices.length > MOST_IN_SIGHT) {
    return (
      <label className="setting setting-choice" data-changed={value !== setting.default} title={setting.say}>
        <span>{setting.title}</span>
        <select value={value} onChange={(event) => onSet(event.target.value)}>
          {setting.choices.map((choice, i) => (
            <option key={choice} value={choice}>
              {setting.choiceTitles?.[i] ?? choice}
            </option>
          ))}
        </select>
      </label>
    );
  }
  return (
    <fieldset className="setting setting-choice" data-changed={value !== setting.default}>
      <legend title={setting.say}>{setting.title}</legend>
      <div className="choices">
        {setting.choices.map((choice, i) => (
          <label key={choice}>
            <input type="radio" name={name} checked={choice === value} onChange={() => onSet(choice)} />
            <span>{setting.choiceTitles?.[i] ?? choice}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

interface SwitchProps {
  readonly setting: SwitchSetting;
  readonly value: boolean;
  readonly onSet: (value: boolean) => void;
}

export function SwitchField({ setting, value, onSet }: SwitchProps) {
  return (
    <label className="setting setting-switch" data-changed={value !== setting.default} title={setting.say}>
      <span>{setting.title}</span>
      <input type="checkbox" checked={value} onChange={(event) => onSet(event.target.checked)} />
    </label>
  );
}
