import { symbols } from '../../blocks/symbols.gen.ts';
import { sheetHtml } from '../../sheet/sheet.ts';
import { catalogue, readDocument } from '../document.ts';
import { DONE, REFUSED, text, type Verb, WrongUsage } from '../verb.ts';
import { writeFile } from '../write.ts';

export const sheet: Verb = {
  usage: 'FILE --out FILE.html',
  say: 'writes the printable patch sheet, one page that needs nothing else',
  options: { out: { type: 'string' } },
  takes: [1, 1],
  run: ([file = ''], options, terminal) => {
    const out = text(options, 'out');
    if (out === undefined) throw new WrongUsage('--out FILE.html says where the sheet goes');
    const patch = readDocument(file, terminal);
    if (!patch) return REFUSED;
    writeFile(out, sheetHtml(patch, catalogue, symbols));
    return DONE;
  },
};
