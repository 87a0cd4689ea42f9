/** The parts of the view and how they begin. */

export type Theme = 'system' | 'light' | 'dark';
export type Page = 'sketch' | 'sheet' | 'notebook';
/** On narrow screens the side panels are drawers, one open at a time. */
export type Drawer = 'functions' | 'strip';

export interface ViewState {
  readonly theme: Theme;
  readonly page: Page;
  /** Small traces on all cables. */
  readonly traces: boolean;
  readonly functionsShown: boolean;
  readonly stripShown: boolean;
  readonly trayShown: boolean;
  /** Height of the tray in CSS pixels. */
  readonly trayHeight: number;
  readonly drawer: Drawer | undefined;
  /** The computer's letter keys play notes where the patch has a block for them. */
  readonly playKeys: boolean;
  /** The box in which a function's name is typed to place it. */
  readonly palette: boolean;
}

export const TRAY_HEIGHT = { least: 160, most: 640, usual: 272 } as const;

export const initialView: ViewState = {
  theme: 'system',
  page: 'sketch',
  traces: true,
  functionsShown: true,
  stripShown: true,
  trayShown: false,
  trayHeight: TRAY_HEIGHT.usual,
  drawer: undefined,
  playKeys: true,
  palette: false,
};
