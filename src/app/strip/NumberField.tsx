/** One number: a slider for the hand, a field for typing with units, double-click for the default. */
import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import type { NumberSetting } from '../../patch/blockSpec.ts';
import { isRefusal } from '../../patch/refusal.ts';
import { formatValue, fromTravel, parseValue, toTravel } from '../../patch/values/index.ts';
import { useApp } from '../app.ts';

/** Steps of the slider from end to end. */
const STEPS = 500;

export interface NumberFieldProps {
  readonly setting: NumberSetting;
  readonly value: number;
  /** While the hand moves: many calls, one undo step. */
  readonly onMove: (value: number) => void;
  /** The hand has let go. */
  readonly onDone: () => void;
  /** A typed value, or the default. */
  readonly onSet: (value: number) => void;
}

export function NumberField({ setting, value, onMove, onDone, onSet }: NumberFieldProps) {
  const id = useId();
  const title = setting.say;
  const travel = toTravel(value, setting);
  const isDefault = value === setting.default;
  const slide = (share: number): void => {
    const raw = fromTravel(share, setting);
    const tidy = setting.whole ? Math.round(raw) : Number(raw.toPrecision(4));
    onMove(Math.min(setting.maximum, Math.max(setting.minimum, tidy)));
  };
  return (
    <div className="setting" data-changed={!isDefault}>
      <label htmlFor={id} title={title}>
        {setting.title}
      </label>
      <TypedValue setting={setting} value={value} onSet={onSet} />
      <input
        id={id}
        type="range"
        min={0}
        max={STEPS}
        step={1}
        value={Math.round(travel * STEPS)}
        aria-valuetext={formatValue(value, setting)}
        title={`Double-click: ${formatValue(setting.default, setting)}`}
        onChange={(event) => slide(Number(event.target.value) / STEPS)}
        onPointerUp={onDone}
        onKeyUp={onDone}
        onBlur={onDone}
        onDoubleClick={() => onSet(setting.default)}
      />
    </div>
  );
}

interface TypedValueProps {
  readonly setting: NumberSetting;
  readonly value: number;
  readonly onSet: (value: number) => void;
  readonly label?: string;
}

/** "440", "A4", "300 ms", "-6 dB": what the setting's unit allows. A refusal is said and nothing is lost. */
export function TypedValue({ setting, value, onSet, label }: TypedValueProps) {
  const { session } = useApp();
  const shown = formatValue(value, setting);
  const [typed, setTyped] = useState(shown);
  const [bad, setBad] = useState(false);
  const field = useRef<HTMLInputElement>(null);
  const leaving = useRef(false);

  useEffect(() => {
    setTyped(shown);
    setBad(false);
  }, [shown]);

  const commit = (stay: boolean): void => {
    if (typed.trim() === shown) return;
    const parsed = parseValue(typed, setting);
    if (isRefusal(parsed)) {
      session.say(parsed.say, 'refusal');
      setBad(true);
      if (!stay) {
        setTyped(shown);
        setBad(false);
      }
      return;
    }
    setBad(false);
    onSet(parsed);
    if (parsed === value) setTyped(shown);
    if (stay) field.current?.select();
  };

  const keys = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') commit(true);
    else if (event.key === 'Escape') {
      leaving.current = true;
      setTyped(shown);
      setBad(false);
      field.current?.blur();
    }
  };

  return (
    <input
      ref={field}
      className="value setting-value"
      aria-label={`${label ?? setting.title}, value`}
      aria-invalid={bad}
      spellCheck={false}
      autoComplete="off"
      value={typed}
      onChange={(event) => setTyped(event.target.value)}
      onFocus={(event) => event.target.select()}
      onBlur={() => {
        if (!leaving.current) commit(false);
        leaving.current = false;
      }}
      onKeyDown={keys}
      onDoubleClick={() => onSet(setting.default)}
    />
  );
}
