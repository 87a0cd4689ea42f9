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

function bar(share: number | undefined): string {
  if (share === undefined) return '<span class="soft">bounds only</span>';
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
  const key = keys.length > 0 ? `<div class="keys">${keys.map(keyOf).join('')}</div>` : '';
  return `<figure><h3>${escapeXml(title)}</h3>${key}${svg}<figcaption>${say ? `<p>${escapeXml(say)}</p>` : ''}<p class="source">${sources.map(escapeXml).join('; ')}</p><code>${command}</code></figcaption></figure>`;
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
  return `<figure class="rows"><h3>${escapeXml(check.block)}: ${escapeXml(check.title)}</h3><table><thead><tr><th>${escapeXml(check.unit)}</th><th>published</th><th>allowed</th><th>measured</th></tr></thead><tbody>${lines.join('')}</tbody></table><figcaption><p class="source">${escapeXml(check.source)}</p></figcaption></figure>`;
}

function checkTable(measured: readonly Measured[]): string {
  const lines = measured.map((one) => {
    const { check } = one;
    const most = largestDeviation(one);
    const fails = outside(check, one.values).length;
    return `<tr${fails > 0 ? ' class="missed"' : ''}><td>${escapeXml(check.block)}</td><td>${escapeXml(check.title)}</td><td class="number">${check.rows.length}</td><td class="number">${most === undefined ? '' : `${written(most, 2)} ${escapeXml(check.unit)}`}</td><td>${bar(shareUsed(one))}</td></tr>`;
  });
  return `<table class="checks"><thead><tr><th>what</th><th>rule</th><th class="number">rows</th><th class="number">largest deviation</th><th>of the tolerance</th></tr></thead><tbody>${lines.join('')}</tbody></table>`;
}

function chapter({ topic, measured, figures }: Chapter, index: number): string {
  const command = `npm run report -- --only ${topic.id}`;
  const tables = measured.filter(({ check }) => !check.curve && check.rows.length <= TABLE_ROWS);
  const fails = missed(measured);
  const verdict =
    fails.length === 0 ? 'all inside their tolerance' : `<strong class="missed">${counted(fails.length, 'row')} outside</strong>`;
  return `<section id="${topic.id}"><h2><span class="place">${index + 1}</span>${escapeXml(topic.title)}</h2>
<p class="lead">${escapeXml(topic.say)}</p>
<div class="figures">${figures.map((one) => figure(one, command)).join('\n')}</div>
${tables.length > 0 ? `<div class="figures tables">${tables.map(rowTable).join('\n')}</div>` : ''}
<details><summary>${counted(measured.length, 'check')}, ${counted(rowsIn(measured), 'row')}: ${verdict}</summary>${checkTable(measured)}</details></section>`;
}

function overview(chapters: readonly Chapter[]): string {
  const lines = chapters.map(({ topic, measured, figures }, i) => {
    const shares = measured.map(shareUsed).filter((share) => share !== undefined);
    return `<tr><td class="number">${i + 1}</td><td><a href="#${topic.id}">${escapeXml(topic.title)}</a></td><td class="number">${figures.length}</td><td class="number">${measured.length}</td><td class="number">${rowsIn(measured).toLocaleString('en')}</td><td>${bar(shares.length > 0 ? Math.max(...shares) : undefined)}</td></tr>`;
  });
  return `<table class="overview"><thead><tr><th></th><th>topic</th><th class="number">figures</th><th class="number">checks</th><th class="number">rows</th><th>tightest row uses of its tolerance</th></tr></thead><tbody>${lines.join('')}</tbody></table>`;
}

/** Every block of the catalogue and every other part, with what it is held against. */
function blocks(): string {
  const checks = topics.flatMap((topic) => topic.checks);
  const parts = [...new Set(checks.map(({ block }) => block))].filter((block) => !specs.some(({ type }) => type === block));
  const named = [...specs.map(({ type, title }) => [type, title] as const), ...parts.map((part) => [part, part] as const)];
  const lines = named.map(([type, title]) => {
    const sources = new Map<string, { say: string[]; rows: number }>();
    for (const held of heldBy(type, checks)) {
      const entry = sources.get(held.source) ?? { say: [], rows: 0 };
      entry.say.push(held.title);
      entry.rows += held.rows;
      sources.set(held.source, entry);
    }
    const entries = [...sources].map(
      ([source, { say, rows }]) =>
        `<tr><td>${say.length > 2 ? counted(say.length, 'rule') : say.map((one) => escapeXml(one.replaceAll(/%[sdif]|\$\w+/g, '\u2026'))).join('; ')}</td><td class="source">${escapeXml(source)}</td><td class="number">${rows > 0 ? rows.toLocaleString('en') : 'own test'}</td></tr>`,
    );
    return `<tbody><tr class="block"><th scope="rowgroup" colspan="3">${escapeXml(title)} <code>${escapeXml(type)}</code></th></tr>${entries.join('')}</tbody>`;
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
      : `<p class="verdict missed">${counted(fails.length, 'row')} of ${rowsIn(all)} lie outside:</p><ul class="missed">${fails.map((say) => `<li>${escapeXml(say)}</li>`).join('')}</ul>`;
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
