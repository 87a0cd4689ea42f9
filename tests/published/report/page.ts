/** The page: what is held, topic by topic, then block by block. */
import { specs } from '../../../src/blocks/specs.gen.ts';
import { escapeXml } from '../../../src/sheet/escape.ts';
import { allowance, isInside, outside, type Topic } from '../check.ts';
import { heldBy } from '../sources.ts';
import { topics } from '../topics.ts';
import { type Drawn, type Key, largestDeviation, type Measured } from './figure.ts';
import { written } from './scale.ts';
import { style } from './style.ts';

export interface Chapter {
  readonly topic: Topic;
  readonly measured: readonly Measured[];
  readonly figures: readonly Drawn[];
}

export interface Made {
  readonly bytes: number;
  readonly hash: string;
  readonly node: string;
  readonly date: string;
  readonly seconds: number;
}

/** Tables of single rows are shown up to this length. */
const TABLE_ROWS = 16;

const counted = (count: number, one: string, many = `${one}s`): string => `${count.toLocaleString('en')} ${count === 1 ? one : many}`;
const rowsIn = (measured: readonly Measured[]): number => measured.reduce((sum, { check }) => sum + check.rows.length, 0);
const missed = (measured: readonly Measured[]): string[] =>
  measured.flatMap(({ check, values }) => outside(check, values).map((say) => `${check.block}, ${check.title}: ${say}`));

/** A block by its title; other parts by their name. */
function titleOf(block: string): string {
  const title = specs.find(({ type }) => type === block)?.title ?? block;
  return title.charAt(0).toUpperCase() + title.slice(1);
}

/** Largest share of its tolerance that a row uses; bounds have no share. */
function shareUsed({ check, values }: Measured): number | undefined {
  const shares = check.rows.flatMap((row, i) => {
    const [below, above] = allowance(row);
    const off = (values[i] ?? Number.NaN) - row.published;
    const room = off < 0 ? below : above;
    return Number.isFinite(below) && Number.isFinite(above) && room > 0 ? [Math.abs(off) / room] : [];
  });
  return shares.length > 0 ? Math.max(...shares) : undefined;
}

function bar(measured: readonly Measured[]): string {
  const shares = measured.map(shareUsed).filter((one) => one !== undefined);
  const exact = measured.every(({ check }) => check.rows.every(({ within }) => within === 0));
  if (shares.length === 0) return `<span class="soft">${exact ? 'exact' : 'bounds only'}</span>`;
  const share = Math.max(...shares);
  const percent = Math.min(100, 100 * share);
  return `<span class="bar-box"><span class="bar-fill" style="width:${Math.max(1, percent).toFixed(1)}%"></span></span> ${percent < 1 ? '&lt;\u20091' : percent.toFixed(0)}\u2009%`;
}

function keyOf({ as, style: look, name }: Key): string {
  const marks: Readonly<Record<Key['as'], string>> = {
    line: `<path class="curve s-${look}" d="M1 6H25"/>`,
    area: `<path class="area s-${look}" d="M1 11L7 5 13 9 19 3 25 11Z"/>`,
    stems: `<path class="stems s-${look}" d="M6 11V2M13 11V5M20 11V7"/>`,
    circles: `<circle class="circles s-${look}" cx="13" cy="6" r="3"/>`,
    dots: `<circle class="dots s-${look}" cx="13" cy="6" r="2"/>`,
  };
  return `<span class="key"><svg viewBox="0 0 26 12" aria-hidden="true">${marks[as]}</svg>${escapeXml(name)}</span>`;
}

function figure({ title, svg, keys, say, sources }: Drawn, command: string): string {
  return `<figure><h3>${escapeXml(title)}</h3><div class="keys">${keys.map(keyOf).join('')}</div><div class="plate"><div class="scroll">${svg}</div><div class="caption">${say ? `<p>${escapeXml(say)}</p>` : ''}<p class="source">${sources.map(escapeXml).join('; ')}</p><code>${command}</code></div></div></figure>`;
}

/** The rows of a check that has no curve. */
function rowTable({ check, values }: Measured): string {
  const lines = check.rows.map((row, i) => {
    const value = values[i] ?? Number.NaN;
    const [below, above] = allowance(row);
    const allowed =
      below === above
        ? `\u00b1${written(below, 2)}`
        : Number.isFinite(below) && Number.isFinite(above)
          ? `\u2212${written(below, 2)} +${written(above, 2)}`
          : Number.isFinite(above)
            ? 'at most'
            : 'at least';
    return `<tr${isInside(row, value) ? '' : ' class="missed"'}><th scope="row">${escapeXml(row.name)}</th><td>${written(row.published, 4)}</td><td>${allowed}</td><td class="found">${written(value, 5)}</td></tr>`;
  });
  return `<figure class="rows"><h3>${escapeXml(titleOf(check.block))}: ${escapeXml(check.title)}</h3><table><thead><tr><th>${escapeXml(check.unit)}</th><th>published</th><th>allowed</th><th>measured</th></tr></thead><tbody>${lines.join('')}</tbody></table><figcaption><p class="source">${escapeXml(check.source)}</p></figcaption></figure>`;
}

function checkTable(measured: readonly Measured[]): string {
  const lines = measured.map((one) => {
    const { check } = one;
    const most = largestDeviation(one);
    const fails = outside(check, one.values).length;
    return `<tr${fails > 0 ? ' class="missed"' : ''}><td>${escapeXml(titleOf(check.block))}</td><td>${escapeXml(check.title)}</td><td class="number">${check.rows.length}</td><td class="number">${most === undefined ? '' : `${written(most, 2)} ${escapeXml(check.unit)}`}</td><td>${bar([one])}</td></tr>`;
  });
  return `<table class="checks"><thead><tr><th>what</th><th>rule</th><th class="number">rows</th><th class="number">largest deviation</th><th>of the tolerance</th></tr></thead><tbody>${lines.join('')}</tbody></table>`;
}

/** Figures of one size that follow each other. */
function runsOf(figures: readonly Drawn[]): readonly Drawn[][] {
  const runs: Drawn[][] = [];
  for (const one of figures) {
    const run = runs.at(-1);
    if (run && run[0]?.small === one.small) run.push(one);
    else runs.push([one]);
  }
  return runs;
}

function chapter({ topic, measured, figures }: Chapter, index: number): string {
  const command = `npm run report -- --only ${topic.id}`;
  const grid = (run: readonly Drawn[]): string =>
    `<div class="figures${run[0]?.small ? ' small' : ''}">${run.map((one) => figure(one, command)).join('\n')}</div>`;
  const tables = measured.filter(({ check }) => !check.curve && check.rows.length <= TABLE_ROWS);
  const fails = missed(measured);
  const verdict =
    fails.length === 0 ? 'all inside their tolerance' : `<strong class="missed">${counted(fails.length, 'row')} outside</strong>`;
  return `<section id="${topic.id}"><h2><span class="place">${index + 1}</span>${escapeXml(topic.title)}</h2>
<p class="lead">${escapeXml(topic.say)}</p>
${runsOf(figures).map(grid).join('\n')}
${tables.length > 0 ? `<div class="figures tables">${tables.map(rowTable).join('\n')}</div>` : ''}
<details><summary>${counted(measured.length, 'check')}, ${counted(rowsIn(measured), 'row')}: ${verdict}</summary>${checkTable(measured)}</details></section>`;
}

/** What was found, in a few words. */
function glanceOf(topic: Topic, measured: readonly Measured[]): string {
  const said = topic.glance?.(measured.map(({ values }) => values)).replaceAll(/-(?=\d)/g, '\u2212');
  if (said !== undefined) return said;
  const unit = measured[0]?.check.unit ?? '';
  const sizes = measured.filter(({ check }) => check.unit === unit).map((one) => largestDeviation(one) ?? 0);
  return `within ${written(Math.max(...sizes), 2)}${unit ? ` ${unit}` : ''}`;
}

function overview(chapters: readonly Chapter[]): string {
  const lines = chapters.map(({ topic, measured }, i) => {
    return `<tr><td class="number">${i + 1}</td><td><a href="#${topic.id}">${escapeXml(topic.title)}</a></td><td>${escapeXml(glanceOf(topic, measured))}</td><td class="number">${rowsIn(measured).toLocaleString('en')}</td><td class="share">${bar(measured)}</td></tr>`;
  });
  return `<table class="overview"><thead><tr><th></th><th>topic</th><th>at a glance</th><th class="number">rows</th><th>most of a tolerance used</th></tr></thead><tbody>${lines.join('')}</tbody></table>`;
}

/** What a block is held against; many checks of one topic and source in one line. Titles are HTML. */
function heldInShort(type: string): { title: string; source: string; rows: number }[] {
  const short: { title: string; source: string; rows: number }[] = [];
  for (const topic of topics) {
    const mine = topic.checks.filter(({ block }) => block === type);
    for (const source of new Set(mine.map((check) => check.source))) {
      const held = heldBy(
        type,
        mine.filter((check) => check.source === source),
      ).filter(({ rows }) => rows > 0);
      const rows = held.reduce((sum, one) => sum + one.rows, 0);
      const title = held.length > 2 ? counted(held.length, 'check') : held.map((one) => escapeXml(one.title)).join('; ');
      short.push({ title: `<a href="#${topic.id}">${escapeXml(topic.title)}</a>: ${title}`, source, rows });
    }
  }
  return [...short, ...heldBy(type, []).map((held) => ({ ...held, title: escapeXml(held.title) }))];
}

/** Every block of the catalogue and every other part, with what it is held against. */
function blocks(): string {
  const checks = topics.flatMap((topic) => topic.checks);
  const parts = [...new Set(checks.map(({ block }) => block))].filter((block) => !specs.some(({ type }) => type === block));
  const types = [...specs.map(({ type }) => type), ...parts];
  const lines = types.map((type) => {
    const entries = heldInShort(type).map(
      ({ title, source, rows }) =>
        `<tr><td>${title}</td><td class="source">${escapeXml(source)}</td><td class="number">${rows > 0 ? rows.toLocaleString('en') : 'own test'}</td></tr>`,
    );
    return `<tbody><tr class="block"><th scope="rowgroup" colspan="3">${escapeXml(titleOf(type))} <code>${escapeXml(type)}</code></th></tr>${entries.join('')}</tbody>`;
  });
  return `<section id="blocks"><h2>Block by block</h2><p class="lead">What each block is held against, and where the numbers come from. Rows are the published values in the chapters above; rules without rows have theirs in the block's own test.</p><table class="blocks"><thead><tr><th>rule</th><th>source</th><th class="number">rows</th></tr></thead>${lines.join('')}</table></section>`;
}

export function pageOf(chapters: readonly Chapter[], made: Made): string {
  const all = chapters.flatMap(({ measured }) => measured);
  const fails = missed(all);
  const sources = new Set(all.map(({ check }) => check.source)).size;
  const verdict =
    fails.length === 0
      ? `<p class="verdict">All ${counted(rowsIn(all), 'published row')} lie inside their tolerance.</p>`
      : `<p class="verdict missed">Outside their tolerance: ${fails.length} of ${counted(rowsIn(all), 'row')}.</p><ul class="missed">${fails.map((say) => `<li>${escapeXml(say)}</li>`).join('')}</ul>`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Signal Sketchbook: measured and published</title>
<style>${style}</style>
</head>
<body>
<header>
<p class="name">Signal Sketchbook</p>
<h1>Measured and published</h1>
<p class="lead">Each block beside the equation, standard or paper that says what it should do. Every curve was measured when this page was made, on the engine that ships; nothing is kept from an earlier run.</p>
${verdict}
<p class="lead">Circles are published values, lines and dots what the engine does. The strip under a plot is the difference between the two, on its own scale. Signals are float32 volts at 48 kHz, quality 1, unless a figure says otherwise.</p>
<dl><div><dt>rows</dt><dd>${rowsIn(all).toLocaleString('en')}</dd></div><div><dt>checks</dt><dd>${all.length}</dd></div><div><dt>sources</dt><dd>${sources}</dd></div><div><dt>figures</dt><dd>${chapters.reduce((sum, { figures }) => sum + figures.length, 0)}</dd></div><div><dt>measured in</dt><dd>${made.seconds.toFixed(0)} s</dd></div><div><dt>engine</dt><dd>${(made.bytes / 1024).toFixed(0)} kB, <code>${made.hash}</code></dd></div><div><dt>Node</dt><dd>${escapeXml(made.node)}</dd></div><div><dt>date</dt><dd>${made.date}</dd></div></dl>
${overview(chapters)}
</header>
<main>
${chapters.map(chapter).join('\n')}
${blocks()}
</main>
</body>
</html>
`;
}
