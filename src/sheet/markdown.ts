/**
 * A small, safe subset of Markdown for notes: headings, paragraphs, lists, emphasis, code and links.
 * Every character of the source is escaped; no raw HTML, no pictures, and links only to web and mail addresses.
 */
import { escapeXml } from './escape.ts';

/**
 * HTML of a Markdown source.
 * @param topHeading level that "#" becomes; deeper ones follow, at most h6
 */
export function markdownHtml(source: string, topHeading = 3): string {
  const lines = source.replace(/\r\n?/g, '\n').split('\n');
  const html: string[] = [];
  let k = 0;
  while (k < lines.length) {
    const line = lines[k] ?? '';
    const heading = /^(#{1,4})\s+(.*?)\s*#*\s*$/.exec(line);
    if (line.trim() === '') k++;
    else if (/^\s*```/.test(line)) {
      const end = endOf(lines, k + 1, (each) => !/^\s*```\s*$/.test(each));
      html.push(`<pre><code>${escapeXml(lines.slice(k + 1, end).join('\n'))}</code></pre>`);
      k = end + 1;
    } else if (heading) {
      const level = Math.min(6, topHeading + (heading[1] ?? '#').length - 1);
      html.push(`<h${level}>${inline(heading[2] ?? '')}</h${level}>`);
      k++;
    } else if (itemOf(line)) {
      const ordered = itemOf(line)?.ordered ?? false;
      const end = endOf(lines, k, (each) => each.trim() !== '' && (itemOf(each)?.ordered === ordered || /^\s+\S/.test(each)));
      html.push(list(lines.slice(k, end), ordered));
      k = end;
    } else {
      const end = endOf(lines, k + 1, (each) => each.trim() !== '' && !itemOf(each) && !/^(#{1,4}\s|\s*```)/.test(each));
      html.push(
        `<p>${inline(
          lines
            .slice(k, end)
            .map((each) => each.trim())
            .join('\n'),
        )}</p>`,
      );
      k = end;
    }
  }
  return html.join('\n');
}

function endOf(lines: readonly string[], from: number, goesOn: (line: string) => boolean): number {
  let k = from;
  while (k < lines.length && goesOn(lines[k] ?? '')) k++;
  return k;
}

function itemOf(line: string): { ordered: boolean; text: string } | undefined {
  const [, mark, text] = /^\s{0,3}([-*+]|\d{1,9}[.)])\s+(.*)$/.exec(line) ?? [];
  return mark === undefined ? undefined : { ordered: /\d/.test(mark), text: text ?? '' };
}

/** A flat list; a line without a mark goes on with the item before it. */
function list(lines: readonly string[], ordered: boolean): string {
  const items: string[] = [];
  for (const line of lines) {
    const item = itemOf(line);
    if (item) items.push(item.text);
    else items.push(`${items.pop() ?? ''}\n${line.trim()}`);
  }
  const tag = ordered ? 'ol' : 'ul';
  return `<${tag}>${items.map((item) => `<li>${inline(item)}</li>`).join('')}</${tag}>`;
}

/** Code first, since nothing inside it means anything; then links, then emphasis. */
function inline(text: string): string {
  const [, before, , code, after] = /^(.*?)(`+)(.*?[^`])\2(?!`)(.*)$/s.exec(text) ?? [];
  if (code !== undefined) return `${linked(before ?? '')}<code>${escapeXml(code.trim())}</code>${inline(after ?? '')}`;
  return linked(text);
}

function linked(text: string): string {
  const [, before, title, address, after] = /^(.*?)\[([^\]\n]*)\]\(([^()\s]*)\)(.*)$/s.exec(text) ?? [];
  if (title === undefined || address === undefined) return emphasised(text);
  const link = /^(?:https?:\/\/|mailto:)/i.test(address)
    ? `<a href="${escapeXml(address)}" rel="noopener noreferrer">${emphasised(title)}</a>`
    : emphasised(`[${title}](${address})`);
  return `${emphasised(before ?? '')}${link}${linked(after ?? '')}`;
}

function emphasised(text: string): string {
  return escapeXml(text)
    .replace(/(\*\*|__)(?=\S)(.*?\S)\1/gs, '<strong>$2</strong>')
    .replace(/(^|[^\p{L}\p{N}_*])([*_])(?=[^\s*_])(.*?[^\s*_])\2(?![\p{L}\p{N}*_])/gsu, '$1<em>$3</em>');
}
