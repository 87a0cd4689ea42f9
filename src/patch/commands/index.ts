/** All commands, for whoever offers them. */
export { type AddBlock, addBlock } from './addBlock.ts';
export { type AddProbe, addProbe } from './addProbe.ts';
export { type AddRecording, addRecording } from './addRecording.ts';
export type { Command } from './command.ts';
export { type Connect, connect } from './connect.ts';
export { type CopyBlocks, copyBlocks, type Fragment } from './copyBlocks.ts';
export { type Disconnect, disconnect } from './disconnect.ts';
export { type DuplicateBlocks, duplicateBlocks } from './duplicateBlocks.ts';
export { type InsertIntoCable, insertIntoCable } from './insertIntoCable.ts';
export { type Mend, mend } from './mend.ts';
export { type PasteFragment, pasteFragment } from './pasteFragment.ts';
export { type PlaceBlocks, placeBlocks } from './placeBlocks.ts';
export { type RemoveBlocks, removeBlocks } from './removeBlocks.ts';
export { type RemoveProbe, removeProbe } from './removeProbe.ts';
export { type RemoveRecording, removeRecording } from './removeRecording.ts';
export { type RenameBlock, renameBlock } from './renameBlock.ts';
export { type SetDetails, setDetails } from './setDetails.ts';
export { type SetSetting, setSetting } from './setSetting.ts';
