// @vitest-environment jsdom
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { escapeXml } from './escape.ts';
import { markdownHtml } from './markdown.ts';

describe('notes', () => {
  it.each([
    ['a paragraph', 'One line\nand more.\n\nNext.', '<p>One line\nand more.</p>\n<p>Next.</p>'],
    ['headings', '# Try\n## More', '<h3>Try</h3>\n<h4>More</h4>'],
    ['a list', '- one\n- two\n  goes on', '<ul><li>one</li><li>two\ngoes on</li></ul>'],
    ['a numbered list', '1. one\n2. two', '<ol><li>one</li><li>two</li></ol>'],
    ['a list after a paragraph', 'Try:\n- one', '<p>Try:</p>\n<ul><li>one</li></ul>'],
    [
      'emphasis',
      '*soft* and **loud** and __loud__ and _soft_',
      '<p><em>soft</em> and <strong>loud</strong> and <strong>loud</strong> and <em>soft</em></p>',
    ],
    ['no emphasis inside words and sums', 'snake_case_name 2 * 3 * 4', '<p>snake_case_name 2 * 3 * 4</p>'],
    ['code', 'Set `in1 * 2 < 3` *now*', '<p>Set <code>in1 * 2 &lt; 3</code> <em>now</em></p>'],
    ['fenced code', '```\n<b> *x*\n```\nend', '<pre><code>&lt;b&gt; *x*</code></pre>\n<p>end</p>'],
    [
      'a link',
      'See [the *tide*](https://example.org/?a=1&b=2).',
      '<p>See <a href="https://example.org/?a=1&amp;b=2" rel="noopener noreferrer">the <em>tide</em></a>.</p>',
    ],
    ['no other kind of link', '[x](javascript:alert(1)) [y](data:text/html,z)', '<p>[x](javascript:alert(1)) [y](data:text/html,z)</p>'],
    ['no raw HTML', '<img src=x onerror=alert(1)> & "so"', '<p>&lt;img src=x onerror=alert(1)&gt; &amp; &quot;so&quot;</p>'],
    ['nothing', '', ''],
  ])('show %s', (_title, source, html) => {
    expect(markdownHtml(source)).toBe(html);
  });

  it('never let anything but their own few tags through', () => {
    const allowed = new Set(['P', 'H3', 'H4', 'H5', 'H6', 'UL', 'OL', 'LI', 'EM', 'STRONG', 'CODE', 'PRE', 'A']);
    const piece = fc.oneof(
      fc.constantFrom(
        '<b>',
        '`',
        '*',
        '**',
        '[',
        '](',
        'https://a"b',
        ')',
        '\n',
        '\n\n',
        '- ',
        '1. ',
        '# ',
        '```\n',
        '<script>',
        '&',
        "'",
        '_',
        '__',
      ),
      fc.string(),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 25 }), (pieces) => {
        const page = new DOMParser().parseFromString(markdownHtml(pieces.join('')), 'text/html');
        for (const element of page.body.querySelectorAll('*')) {
          expect(allowed.has(element.tagName)).toBe(true);
          for (const { name, value } of element.attributes)
            expect(name === 'rel' || (name === 'href' && /^(https?:\/\/|mailto:)/i.test(value))).toBe(true);
        }
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it('take their time in proportion to their length', () => {
    const started = performance.now();
    for (const piece of ['*', '`', '[', '**a', '[a](', '_a ', '`a']) markdownHtml(piece.repeat(4000));
    expect(performance.now() - started).toBeLessThan(4000);
  });
});

it('escaping leaves no character that would end a text or an attribute', () => {
  expect(escapeXml(`<a href="x" title='y'>&\u0000\u{1f30a}</a>`)).toBe(
    '&lt;a href=&quot;x&quot; title=&#39;y&#39;&gt;&amp;\ufffd\u{1f30a}&lt;/a&gt;',
  );
});
