/** The tables of the sheet: cables in patching order, settings as values, hand movements and notes. */

import type { BlockSpec, Catalogue, ListSetting, SettingSpec, SettingValue } from '../patch/blockSpec.ts';
import { type Block, type Patch, type Place, placeName } from '../patch/document.ts';
import { blockLabel } from '../patch/label.ts';
import { findSetting, listRecords, sameValue, settingValue } from '../patch/settings.ts';
import { formatValue, lowerFirst, nearestNote } from '../patch/values/index.ts';
import { signalKinds } from './drawing/kinds.ts';
import { lineStyles } from './drawing/lineStyles.ts';
import { escapeXml } from './escape.ts';
import { patchingOrder } from './patchingOrder.ts';

interface Named {
  readonly block: Block;
  readonly spec: BlockSpec;
}

function namedBlocks(patch: Patch, catalogue: Catalogue): Map<string, Named> {
  return new Map(
    patch.blocks.flatMap((block) => {
      const spec = catalogue.get(block.type);
      return spec ? [[block.id, { block, spec }] as const] : [];
    }),
  );
}

/** "Low voice" with its trade word beside it: "(oscillator)". */
function blockName({ block, spec }: Named): string {
  const label = blockLabel(block, spec);
  const word =
    (block.label || label === block.id) && label.toLowerCase() !== spec.part.one.toLowerCase()
      ? ` <span class="kindOf">(${escapeXml(spec.part.one)})</span>`
      : '';
  return `${escapeXml(label)}${word}`;
}

/** A short sample of a line style, for tables and the legend. */
export function lineSample(kind: keyof typeof lineStyles): string {
  const style = lineStyles[kind];
  const dash = style.dash ? ` stroke-dasharray="${style.dash.join(' ')}"` : '';
  const core = style.core ? `<path d="M1 4H45" stroke="#fff" stroke-width="${style.core}"/>` : '';
  return `<svg width="46" height="8" viewBox="0 0 46 8" role="img" aria-label="${style.say}"><path d="M1 4H45" stroke="#000" stroke-width="${style.width}"${dash}/>${core}</svg>`;
}

/** Kinds of signals that occur, in the order of the legend. */
export function legendHtml(patch: Patch, catalogue: Catalogue): string {
  const kinds = new Set(signalKinds(patch, catalogue).values());
  const shown = (Object.keys(lineStyles) as (keyof typeof lineStyles)[]).filter((kind) => kinds.has(kind));
  return shown.map((kind) => `${lineSample(kind)}${lineStyles[kind].say}`).join(' ');
}

/** Every cable as from and to, sources first. */
export function cablesHtml(patch: Patch, catalogue: Catalogue): string {
  const named = namedBlocks(patch, catalogue);
  const kinds = signalKinds(patch, catalogue);
  const { cables, delayed } = patchingOrder(patch, catalogue);
  const rows = cables.flatMap((cable, i) => {
    const source = named.get(cable.from[0]);
    const target = named.get(cable.to[0]);
    if (!source || !target) return [];
    const output = source.spec.outputs.find(({ id }) => id === cable.from[1]);
    const input = target.spec.inputs.find(({ id }) => id === cable.to[1]);
    const kind = kinds.get(placeName(cable.from)) ?? output?.kind ?? 'audio';
    const amount = input?.amount ? findSetting(target.spec, input.amount) : undefined;
    const notes = [
      ...(amount ? [`${lowerFirst(amount.title)} ${formatValue(settingValue(target.block, amount), amount)}`] : []),
      ...(delayed.has(placeName(cable.to)) ? ['closes a loop, z⁻¹'] : []),
    ].map((note) => `<span class="small">, ${escapeXml(note)}</span>`);
    const from = `${blockName(source)}, ${escapeXml(lowerFirst(output?.title ?? cable.from[1]))}`;
    const to = `${blockName(target)}, ${escapeXml(lowerFirst(input?.title ?? cable.to[1]))}${notes.join('')}`;
    return [`<tr><td class="number">${i + 1}</td><td>${from}</td><td class="line">${lineSample(kind)}</td><td>${to}</td></tr>`];
  });
  if (rows.length === 0) return '<p>None.</p>';
  return `<table><thead><tr><th></th><th>from</th><th></th><th>to</th></tr></thead><tbody>${rows.join('')}</tbody></table>`;
}

/** Every setting that is not at its default, a row for each block. */
export function settingsHtml(patch: Patch, catalogue: Catalogue): string {
  const rows = patch.blocks.flatMap((block) => {
    const spec = catalogue.get(block.type);
    if (!spec) return [];
    const changed = spec.settings
      .map((setting) => ({ setting, value: settingValue(block, setting) }))
      .filter(({ setting, value }) => !sameValue(value, setting.default));
    const single = changed.flatMap(({ setting, value }) =>
      setting.type === 'list'
        ? []
        : [
            `<span class="setting">${escapeXml(lowerFirst(setting.title))} <span class="value">${escapeXml(settingText(patch, setting, value))}</span></span>`,
          ],
    );
    const lists = changed.flatMap(({ setting, value }) => (setting.type === 'list' ? [stepsHtml(setting, value)] : []));
    return changed.length > 0 ? [`<tr><td>${blockName({ block, spec })}</td><td>${single.join(', ')}${lists.join('')}</td></tr>`] : [];
  });
  return rows.length > 0
    ? `<table class="settings"><tbody>${rows.join('')}</tbody></table>`
    : '<p>None: every setting is at its default.</p>';
}

/** A value in words; a recording by its name and length. */
function settingText(patch: Patch, setting: SettingSpec, value: SettingValue): string {
  const recording = setting.type === 'recording' ? patch.recordings?.find(({ id }) => id === value) : undefined;
  return recording ? `${recording.name}, ${seconds(recording.seconds)}` : formatValue(value, setting);
}

/** A list of records as a table: one column per record, one row per field that is not at rest throughout. */
function stepsHtml(setting: ListSetting, value: SettingValue): string {
  const records = listRecords(setting, value);
  const fields = setting.fields.filter((field) => records.some((record) => (record[field.id] ?? field.default) !== field.default));
  const head = records.map((_, i) => `<th>${escapeXml(setting.recordTitles?.[i] ?? String(i + 1))}</th>`).join('');
  const rows = fields.map((field) => {
    const cells = records.map((record) => `<td>${escapeXml(formatValue(record[field.id] ?? field.default, field))}</td>`);
    return `<tr><th>${escapeXml(lowerFirst(field.title))}</th>${cells.join('')}</tr>`;
  });
  return `<table class="steps"><thead><tr><th></th>${head}</tr></thead><tbody>${rows.join('')}</tbody></table>`;
}

/** Hand movements of controls over the take; empty without any. */
export function movesHtml(patch: Patch, catalogue: Catalogue): string {
  const named = namedBlocks(patch, catalogue);
  const rows = (patch.moves ?? []).flatMap((move) => {
    const known = named.get(move.block);
    const setting = known && findSetting(known.spec, move.setting);
    if (!known || !setting) return [];
    const points = move.points.map(([at, value]) => `${seconds(at)} ${formatValue(value, setting)}`).join(', ');
    return [`<tr><td>${blockName(known)}</td><td>${escapeXml(setting.title)}</td><td class="small">${escapeXml(points)}</td></tr>`];
  });
  if (rows.length === 0) return '';
  return `<h2>By hand, over the take</h2><table><thead><tr><th>block</th><th>setting</th><th>where it stands, straight between</th></tr></thead><tbody>${rows.join('')}</tbody></table>`;
}

/** The notes that are played, as one line; empty without any. */
export function scoreHtml(patch: Patch): string {
  const score = [...(patch.score ?? [])].sort((a, b) => a.at - b.at);
  if (score.length === 0) return '';
  const notes = score.map((note) => `${nearestNote(note.note)} at ${seconds(note.at)} for ${seconds(note.length)}`);
  return `<h2>Notes played</h2><p class="small">${escapeXml(notes.join(', '))}</p>`;
}

/** What to look at; empty without probes. */
export function probesHtml(patch: Patch, catalogue: Catalogue): string {
  const named = namedBlocks(patch, catalogue);
  const shown = (patch.probes ?? []).flatMap(({ at }) => {
    const title = outputTitle(named, at);
    return title ? [title] : [];
  });
  return shown.length === 0 ? '' : `<p>Look with a scope at: ${shown.join('; ')}.</p>`;
}

function outputTitle(named: ReadonlyMap<string, Named>, [id, port]: Place): string | undefined {
  const known = named.get(id);
  const output = known?.spec.outputs.find((each) => each.id === port);
  return known && output ? `${escapeXml(blockLabel(known.block, known.spec))}, ${escapeXml(lowerFirst(output.title))}` : undefined;
}

/** Loops with the cable that closes each; empty without any. */
export function loopsHtml(patch: Patch, catalogue: Catalogue): string {
  const { loops, delayed, cables } = patchingOrder(patch, catalogue);
  if (loops.length === 0) return '';
  const named = namedBlocks(patch, catalogue);
  const label = (id: string): string => {
    const known = named.get(id);
    return escapeXml(known ? blockLabel(known.block, known.spec) : id);
  };
  const items = loops.map((loop) => {
    const members = new Set(loop);
    const closing = cables.filter((cable) => delayed.has(placeName(cable.to)) && members.has(cable.to[0]));
    const late = closing.map((cable) => `from ${label(cable.from[0])} to ${label(cable.to[0])}`).join(' and ');
    return `<li>${loop.map(label).join(' → ')} → ${label(loop[0] ?? '')}. The cable ${late} arrives one engine frame late.</li>`;
  });
  return (
    `<h2>Loops</h2><ul>${items.join('')}</ul><p class="small">One frame is one sample of the engine: 0.02 ms at 48 kHz, less at a higher quality, nothing on hardware. ` +
    'A loop that works at the speed of sound is therefore heard a little differently at each quality. The cable is marked z⁻¹ in the drawing.</p>'
  );
}

const seconds = (value: number): string => `${Number(value.toFixed(3))} s`;
