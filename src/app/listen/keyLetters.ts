/** What is printed on the computer's keys, by place. The browser is asked where it tells; else the most common layout is taken. */

interface LayoutMap {
  get(code: string): string | undefined;
}

/** Not in the type library yet; absent in some browsers. */
interface KeyboardWithLayout {
  getLayoutMap?(): Promise<LayoutMap>;
}

const plain = (code: string): string => ({ Comma: ',', Period: '.' })[code] ?? code.replace(/^(Key|Digit)/, '');

export type KeyLetter = (code: string) => string;

export const usualLetter: KeyLetter = plain;

export async function readLetters(source: Navigator): Promise<KeyLetter> {
  try {
    const map = await (source as Navigator & { readonly keyboard?: KeyboardWithLayout }).keyboard?.getLayoutMap?.();
    return map ? (code) => map.get(code)?.toUpperCase() ?? plain(code) : plain;
  } catch {
    return plain;
  }
}
