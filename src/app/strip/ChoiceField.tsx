/** One of a few words, or on and off. */
import { useId } from 'react';
import type { ChoiceSetting, SwitchSetting } from '../../patch/blockSpec.ts';

interface ChoiceProps {
  readonly setting: ChoiceSetting;
  readonly value: string;
  readonly onSet: (value: string) => void;
}

export function ChoiceField({ setting, value, onSet }: ChoiceProps) {
  const name = useId();
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
