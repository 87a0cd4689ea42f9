/** A list of records, such as the steps of a sequencer: one row a record, one column a field. */
import type { ListRecord, ListSetting, NumberSetting } from '../../patch/blockSpec.ts';
import { TypedValue } from './NumberField.tsx';

interface ListFieldProps {
  readonly setting: ListSetting;
  readonly value: readonly ListRecord[];
  /** How many rows play. */
  readonly shown: number;
  readonly onSet: (value: readonly ListRecord[]) => void;
}

export function ListField({ setting, value, shown, onSet }: ListFieldProps) {
  const rows = Array.from({ length: Math.min(Math.max(shown, 1), setting.maximumLength) }, (_, i) => ({
    number: i + 1,
    item: value[i] ?? {},
  }));
  const put = (row: number, field: string, to: number | boolean): void => {
    const filled = Array.from({ length: Math.max(value.length, row + 1) }, (_, i) => value[i] ?? {});
    onSet(filled.map((item, i) => (i === row ? trimmed({ ...item, [field]: to }, setting) : item)));
  };
  const [only] = setting.fields;
  if (setting.fields.length === 1 && only?.type === 'switch') {
    return (
      <fieldset className="setting setting-choice">
        <legend title={setting.say}>{setting.title}</legend>
        <div className="marks">
          {rows.map(({ number, item }) => (
            <label key={number}>
              <input
                type="checkbox"
                checked={Boolean(item[only.id] ?? only.default)}
                onChange={(event) => put(number - 1, only.id, event.target.checked)}
              />
              <span>{setting.recordTitles?.[number - 1] ?? number}</span>
            </label>
          ))}
        </div>
      </fieldset>
    );
  }
  return (
    <div className="setting-list">
      <table>
        <caption className="unseen">{setting.title}</caption>
        <thead>
          <tr>
            <th scope="col">
              <span className="unseen">Number</span>
            </th>
            {setting.fields.map((field) => (
              <th scope="col" key={field.id} title={field.say ?? field.title}>
                {field.title}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ number, item }) => (
            <Row key={number} number={number} setting={setting} item={item} onPut={(field, to) => put(number - 1, field, to)} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface RowProps {
  readonly number: number;
  readonly setting: ListSetting;
  readonly item: ListRecord;
  readonly onPut: (field: string, value: number | boolean) => void;
}

function Row({ number, setting, item, onPut }: RowProps) {
  const name = setting.recordTitles?.[number - 1] ?? String(number);
  return (
    <tr>
      <th scope="row">{name}</th>
      {setting.fields.map((field) => (
        <td key={field.id}>
          {field.type === 'switch' ? (
            <input
              type="checkbox"
              aria-label={`${field.title} of ${name}`}
              checked={Boolean(item[field.id] ?? field.default)}
              onChange={(event) => onPut(field.id, event.target.checked)}
            />
          ) : (
            <TypedValue
              setting={field as NumberSetting}
              label={`${field.title} of ${name}`}
              value={Number(item[field.id] ?? field.default)}
              onSet={(value) => onPut(field.id, value)}
            />
          )}
        </td>
      ))}
    </tr>
  );
}

/** Fields at their default are left out of the document. */
function trimmed(item: ListRecord, setting: ListSetting): ListRecord {
  return Object.fromEntries(
    Object.entries(item).filter(([id, value]) => setting.fields.find((field) => field.id === id)?.default !== value),
  );
}
