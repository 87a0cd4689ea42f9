/** Everything about one block: its settings, what it puts out, what is patched to it, its help. */
import { Fragment } from 'react';
import type { BlockSpec, SettingSpec, SettingValue } from '../../patch/blockSpec.ts';
import { disconnect, renameBlock, setSetting } from '../../patch/commands/index.ts';
import type { Block } from '../../patch/document.ts';
import { blockLabel } from '../../patch/label.ts';
import { listRecords, listValue, settingValue } from '../../patch/settings.ts';
import { useApp, useSession } from '../app.ts';
import { Icon } from '../Icon.tsx';
import { MovesButton } from '../moves/MovesButton.tsx';
import { Prose } from '../Prose.tsx';
import { BlockTrace } from './BlockTrace.tsx';
import { ChoiceField, SwitchField } from './ChoiceField.tsx';
import { ListField } from './ListField.tsx';
import { LiveInputField } from './LiveInputField.tsx';
import { NumberField } from './NumberField.tsx';
import { PressField } from './PressField.tsx';
import { RecordingField } from './RecordingField.tsx';

export function BlockPanel({ block, spec }: { readonly block: Block; readonly spec: BlockSpec }) {
  const { session, catalogue, docs } = useApp();
  const label = blockLabel(block, spec);
  const help = docs[block.type] ?? '';
  const put = (setting: string, value: SettingValue, gesture?: string): void => {
    session.run(setSetting(session.getState().patch, catalogue, { block: block.id, setting, value }), gesture ? { gesture } : {});
  };
  return (
    <section className="strip" aria-label={`Settings of ${label}`}>
      <header className="strip-head">
        <input
          className="strip-label"
          aria-label="Label"
          value={block.label ?? ''}
          placeholder={blockLabel({ id: block.id }, spec)}
          maxLength={80}
          onChange={(event) =>
            session.run(renameBlock(session.getState().patch, catalogue, { block: block.id, label: event.target.value }), {
              gesture: `${block.id}.label`,
            })
          }
          onBlur={() => session.commitGesture()}
        />
        <p className="soft">
          {spec.title}. {spec.say}
        </p>
      </header>
      {spec.pressed && <PressField block={block.id} label={label} />}
      <BlockTrace block={block} spec={spec} />
      {spec.liveInput && <LiveInputField />}
      {spec.settings.length > 0 && (
        <div className="strip-settings">
          {spec.settings.map((setting) => (
            <Fragment key={setting.id}>
              <SettingField block={block} spec={spec} setting={setting} put={put} />
              <SettingMoves block={block} spec={spec} setting={setting} />
            </Fragment>
          ))}
        </div>
      )}
      <Patched block={block} spec={spec} />
      {help !== '' && (
        <details className="strip-help">
          <summary>About this function</summary>
          <Prose source={help} />
        </details>
      )}
    </section>
  );
}

interface SettingFieldProps {
  readonly block: Block;
  readonly spec: BlockSpec;
  readonly setting: SettingSpec;
  readonly put: (setting: string, value: SettingValue, gesture?: string) => void;
}

function SettingField({ block, spec, setting, put }: SettingFieldProps) {
  const { session } = useApp();
  const value = settingValue(block, setting);
  const name = `${block.id}.${setting.id}`;
  switch (setting.type) {
    case 'number':
      return (
        <NumberField
          setting={setting}
          value={value as number}
          onMove={(to) => put(setting.id, to, name)}
          onDone={() => session.getState().gesture === name && session.commitGesture()}
          onSet={(to) => put(setting.id, to)}
        />
      );
    case 'choice':
      return <ChoiceField setting={setting} value={value as string} onSet={(to) => put(setting.id, to)} />;
    case 'switch':
      return <SwitchField setting={setting} value={value as boolean} onSet={(to) => put(setting.id, to)} />;
    case 'recording':
      return <RecordingField block={block} spec={spec} setting={setting} />;
    case 'list': {
      const length = spec.settings.find(({ id }) => id === 'length');
      const shown = length ? Number(settingValue(block, length)) : setting.maximumLength;
      return (
        <ListField
          setting={setting}
          value={listRecords(setting, value)}
          shown={shown}
          onSet={(to) => put(setting.id, listValue(setting, to))}
        />
      );
    }
  }
}

/** Where a cable runs to an input that moves the setting, or a hand moves it, the question what moves it. */
function SettingMoves({ block, spec, setting }: Omit<SettingFieldProps, 'put'>) {
  const inputs = spec.inputs.filter(({ moves }) => moves?.setting === setting.id).map(({ id }) => id);
  const isMoved = useSession(
    ({ patch }) =>
      patch.cables.some(({ to }) => to[0] === block.id && inputs.includes(to[1])) ||
      (patch.moves ?? []).some((move) => move.block === block.id && move.setting === setting.id),
  );
  if (setting.type !== 'number' || !isMoved) return null;
  return <MovesButton title={`${setting.title} of ${blockLabel(block, spec)}`} at={[block.id, setting.id]} side="setting" />;
}

/** What comes in, by input; a cable can be taken off here by keyboard and touch. */
function Patched({ block, spec }: { readonly block: Block; readonly spec: BlockSpec }) {
  const { session, catalogue } = useApp();
  const cables = useSession(({ patch }) => patch.cables);
  const blocks = useSession(({ patch }) => patch.blocks);
  if (spec.inputs.length === 0) return null;
  const sourceOf = (input: string): string | undefined => {
    const from = cables.find(({ to }) => to[0] === block.id && to[1] === input)?.from;
    const source = from && blocks.find(({ id }) => id === from[0]);
    const sourceSpec = source && catalogue.get(source.type);
    if (!from || !source || !sourceSpec) return undefined;
    return `${blockLabel(source, sourceSpec)}, ${sourceSpec.outputs.find(({ id }) => id === from[1])?.title.toLowerCase() ?? from[1]}`;
  };
  return (
    <section className="strip-patched" aria-label="Inputs">
      <h3>Inputs</h3>
      <ul>
        {spec.inputs.map((input) => {
          const source = sourceOf(input.id);
          const rest = input.normalSay ?? (input.normal ? `${input.normal} V` : 'nothing');
          return (
            <li key={input.id}>
              <span>{input.title}</span>
              <span className={source ? '' : 'soft'}>{source ?? rest}</span>
              {source && (
                <button
                  type="button"
                  aria-label={`Take the cable off ${input.title}`}
                  title="Take the cable off"
                  onClick={() => session.run(disconnect(session.getState().patch, catalogue, { to: [[block.id, input.id]] }))}
                >
                  <Icon name="close" />
                </button>
              )}
              {source && (
                <MovesButton title={`the input ${input.title} of ${blockLabel(block, spec)}`} at={[block.id, input.id]} side="input" />
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
