/** The page: header, list of functions, the sketch or another page, side strip, tray. */
import type { ReactNode } from 'react';
import { useApp, useSession, useView } from './app.ts';
import { EarNote } from './ear/EarNote.tsx';
import { SilenceNote } from './findings/SilenceNote.tsx';
import { FunctionList } from './functions/FunctionList.tsx';
import { Icon } from './Icon.tsx';
import { KeyBar } from './listen/KeyBar.tsx';
import { Transport } from './listen/Transport.tsx';
import { FileDrop } from './notebook/FileDrop.tsx';
import { NotebookNotes } from './notebook/NotebookNotes.tsx';
import { NotebookPage } from './notebook/NotebookPage.tsx';
import { PatchTitle } from './notebook/PatchTitle.tsx';
import { PageSwitch } from './PageSwitch.tsx';
import { Tray } from './probes/Tray.tsx';
import { SheetPage } from './sheet/SheetPage.tsx';
import { Sketch } from './sketch/Sketch.tsx';
import type { Drawer } from './store/viewState.ts';
import { Strip } from './strip/Strip.tsx';
import { Toast } from './Toast.tsx';
import { TrayGrip } from './TrayGrip.tsx';

export function Shell() {
  const page = useView((view) => view.page);
  return (
    <div className="shell">
      <a className="shell-skip" href="#work">
        Skip to the {page === 'sketch' ? 'sketch' : 'page'}
      </a>
      <header className="shell-header">
        <PatchTitle />
        <div className="shell-transport">
          <Transport />
        </div>
        <PageSwitch />
      </header>
      {page === 'sketch' ? (
        <SketchPage />
      ) : (
        <main key={page} id="work" className="shell-page" tabIndex={-1}>
          <EarNote />
          {page === 'sheet' ? <SheetPage /> : <NotebookPage />}
        </main>
      )}
      <NotebookNotes />
      <Toast />
      <FileDrop />
    </div>
  );
}

function SketchPage() {
  const functionsShown = useView((view) => view.functionsShown);
  const stripShown = useView((view) => view.stripShown);
  const trayShown = useView((view) => view.trayShown);
  const trayHeight = useView((view) => view.trayHeight);
  return (
    <>
      <Panel drawer="functions" name="Functions" className="shell-list" shown={functionsShown}>
        <FunctionList />
      </Panel>
      <main id="work" className="shell-work" tabIndex={-1} aria-label="Sketch">
        <Sketch />
        <EarNote />
        <SilenceNote />
        <KeyBar />
      </main>
      <Panel drawer="strip" name="Settings" className="shell-strip" shown={stripShown}>
        <Strip />
      </Panel>
      {trayShown && (
        <section className="shell-tray" aria-label="Probes" style={{ height: trayHeight }}>
          <TrayGrip />
          <Tray />
        </section>
      )}
      <DrawerBar />
    </>
  );
}

interface PanelProps {
  readonly drawer: Drawer;
  readonly name: string;
  readonly className: string;
  readonly shown: boolean;
  readonly children: ReactNode;
}

/** Beside the sketch on wide screens, a drawer from below on narrow ones. */
function Panel({ drawer, name, className, shown, children }: PanelProps) {
  const open = useView((view) => view.drawer === drawer);
  const { view } = useApp();
  return (
    <aside
      className={className}
      aria-label={name}
      data-open={open}
      data-shown={shown}
      onKeyDown={(event) => {
        if (event.key === 'Escape' && open) view.setState({ drawer: undefined });
      }}
    >
      {children}
    </aside>
  );
}

/** The bottom bar of narrow screens. */
function DrawerBar() {
  const { view } = useApp();
  const drawer = useView((state) => state.drawer);
  const trayShown = useView((state) => state.trayShown);
  const chosen = useSession((state) => state.selection.blocks.size);
  const flip = (which: Drawer) => () => view.setState({ drawer: drawer === which ? undefined : which });
  return (
    <nav className="shell-bar" aria-label="Panels">
      <button type="button" aria-expanded={drawer === 'functions'} onClick={flip('functions')}>
        <Icon name="list" /> Functions
      </button>
      <button type="button" aria-expanded={drawer === 'strip'} onClick={flip('strip')}>
        <Icon name="settings" /> Settings{chosen > 1 ? ` (${chosen})` : ''}
      </button>
      <button type="button" aria-expanded={trayShown} onClick={() => view.setState({ trayShown: !trayShown })}>
        <Icon name="scope" /> Probes
      </button>
    </nav>
  );
}
