/** Patch files by hand: the browser's own ways of opening and saving. */
import { writePatch } from '../../patch/file/write.ts';
import type { App } from '../app.ts';
import { fileName, saveFile } from '../saveFile.ts';

/** Saves an entry as a patch file. */
export function exportPatch({ notebook, session }: App, id: string | undefined): void {
  const patch = id === undefined ? session.getState().patch : notebook.patchOf(id);
  if (!patch) return;
  const name = fileName(patch.title, 'patch.json');
  saveFile(name, writePatch(patch), 'application/json');
  const without = patch.recordings?.length ? ' Its sound files are not in it: save them in the settings of the blocks that play them.' : '';
  session.say(`Saved as ${name}.${without}`);
}

/** Lets the person choose files and imports them. */
export function chooseFiles(app: App): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = '.json,application/json';
  input.addEventListener('change', () => void bringIn(app, [...(input.files ?? [])]));
  input.click();
}

/** Imports files and shows what came of it: the patch, or the notebook with what was added or refused. */
export async function bringIn({ notebook, view }: App, files: readonly File[]): Promise<void> {
  if (files.length === 0) return;
  const added = await notebook.importFiles(files);
  const smooth = notebook.getState().refused.length === 0;
  view.setState({ page: smooth && added.length === 1 ? 'sketch' : 'notebook', drawer: undefined });
}
