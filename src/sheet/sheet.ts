/** The patch sheet: everything needed to rebuild a patch on other hardware, as one self-contained HTML page that prints well. */
import { partsOf, partsText } from '../insight/parts.ts';
import { whySilent } from '../insight/silence.ts';
import type { Catalogue } from '../patch/blockSpec.ts';
import { DEFAULT_SECONDS, DEFAULT_SEED, type Patch } from '../patch/document.ts';
import { cautionsFor } from './cautions.ts';
import { drawingSvg, type Symbols } from './drawing/toSvg.ts';
import { escapeXml } from './escape.ts';
import { markdownHtml } from './markdown.ts';
import { sheetStyle } from './sheetStyle.ts';
import { cablesHtml, legendHtml, loopsHtml, movesHtml, probesHtml, scoreHtml, settingsHtml } from './sheetTables.ts';

export interface SheetOptions {
  /** Language of the patch's own texts, for screen readers. */
  readonly language?: string;
}

/** A drawing wider than this (sketch units) gets a landscape page of its own at the end, so that its letters stay legible. */
const WIDEST_UPRIGHT = 1080;

/** The whole page as HTML source. It needs nothing from outside. */
export function sheetHtml(patch: Patch, catalogue: Catalogue, symbols: Symbols, options: SheetOptions = {}): string {
  const title = escapeXml(patch.title || 'Untitled patch');
  return (
    `<!doctype html>\n<html lang="${escapeXml(options.language ?? 'en')}"><head><meta charset="utf-8">` +
    `<meta name="viewport" content="width=device-width, initial-scale=1"><title>${title}</title><style>${sheetStyle}</style></head>` +
    `<body>${sheetBody(patch, catalogue, symbols)}</body></html>\n`
  );
}

/** The content of the page alone, to be shown within another page that carries `sheetStyle`. */
export function sheetBody(patch: Patch, catalogue: Catalogue, symbols: Symbols): string {
  const fault = whySilent(patch, catalogue)[0];
  const { html: figure, wide } = figureHtml(patch, catalogue, symbols);
  return [
    `<header><h1>${escapeXml(patch.title || 'Untitled patch')}</h1>`,
    patch.summary ? `<p class="summary">${escapeXml(patch.summary)}</p>` : '',
    `${aboutHtml(patch)}</header>`,
    fault ? `<p class="fault">Silent as drawn: ${escapeXml(fault.say)}</p>` : '',
    `<p class="parts"><strong>It takes</strong> ${escapeXml(partsText(partsOf(patch, catalogue)))}.</p>`,
    wide ? '<p class="small">The drawing is on the last page.</p>' : figure,
    patch.notes?.trim() ? `<section class="notes">${markdownHtml(patch.notes)}</section>` : '',
    probesHtml(patch, catalogue),
    `<section><h2>Cables, in patching order</h2>${cablesHtml(patch, catalogue)}</section>`,
    `<section><h2>Settings that are not at their defaults</h2>${settingsHtml(patch, catalogue)}</section>`,
    movesHtml(patch, catalogue),
    scoreHtml(patch),
    loopsHtml(patch, catalogue),
    cautionsHtml(patch, catalogue),
    wide ? figure : '',
  ]
    .filter(Boolean)
    .join('\n');
}

function figureHtml(patch: Patch, catalogue: Catalogue, symbols: Symbols): { html: string; wide: boolean } {
  if (patch.blocks.length === 0) return { html: '', wide: false };
  const svg = drawingSvg(patch, catalogue, symbols, { theme: 'print', margin: 8 });
  const width = Number(/ width="([\d.]+)"/.exec(svg)?.[1] ?? 0);
  const wide = width > WIDEST_UPRIGHT;
  const caption = `<figcaption class="legend">${legendHtml(patch, catalogue)}</figcaption>`;
  return { html: `<figure${wide ? ' class="wide"' : ''}>${svg}${caption}</figure>`, wide };
}

function cautionsHtml(patch: Patch, catalogue: Catalogue): string {
  const items = cautionsFor(patch, catalogue).map(({ about, say }) => `<dt>${escapeXml(about)}</dt><dd>${escapeXml(say)}</dd>`);
  return `<section class="cautions"><h2>Before you patch it</h2><dl>${items.join('')}</dl></section>`;
}

function aboutHtml(patch: Patch): string {
  const words = [
    patch.author ? `By ${patch.author}` : '',
    patch.date ?? '',
    patch.licence ?? '',
    patch.basedOn ? `based on ${patch.basedOn}` : '',
    patch.tags && patch.tags.length > 0 ? patch.tags.join(', ') : '',
    `${patch.seconds ?? DEFAULT_SECONDS} s, seed ${patch.seed ?? DEFAULT_SEED}`,
  ];
  return `<p class="about">${words.filter(Boolean).map(escapeXml).join(' · ')}</p>`;
}
