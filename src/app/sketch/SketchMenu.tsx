/** The menu of a block, a cable, a port or the paper: everything that can be done with it. */
import { DropdownMenu } from 'radix-ui';
import { type ReactNode, useEffect, useRef } from 'react';
import { type Place, placeName, samePlace } from '../../patch/document.ts';
import { useApp, useEar, useSession } from '../app.ts';
import type { Actions } from './actions.ts';
import { aimCabling, type PortRef, startCabling } from './cabling.ts';
import { focusBlock, focusPort } from './focus.ts';
import { longestMiddle } from './middle.ts';
import { type MenuTarget, useSketch, useSketchParts } from './sketchStore.ts';

export function SketchMenu({ actions }: { readonly actions: Actions }) {
  const { sketch } = useSketchParts();
  const menu = useSketch((state) => state.menu);
  const cameFrom = useRef<HTMLElement>(null);
  useEffect(
    () =>
      sketch.subscribe((now, before) => {
        if (now.menu && !before.menu && document.activeElement instanceof HTMLElement) cameFrom.current = document.activeElement;
      }),
    [sketch],
  );
  return (
    <DropdownMenu.Root
      open={menu !== undefined}
      onOpenChange={(open) => !open && sketch.setState({ menu: undefined, ...(menu?.target.kind === 'ends' && { cabling: undefined }) })}
    >
      <DropdownMenu.Trigger asChild>
        <span className="menu-anchor" style={{ left: menu?.x, top: menu?.y }} aria-hidden="true" />
      </DropdownMenu.Trigger>
      <DropdownMenu.Portal>
        <DropdownMenu.Content
          className="menu"
          align="start"
          sideOffset={2}
          onCloseAutoFocus={(event) => {
            event.preventDefault();
            // Back to where the menu was asked for, unless what was chosen has moved the focus.
            if (document.activeElement === document.body) cameFrom.current?.focus({ preventScroll: true });
          }}
        >
          {menu && <Items target={menu.target} actions={actions} />}
        </DropdownMenu.Content>
      </DropdownMenu.Portal>
    </DropdownMenu.Root>
  );
}

function Items({ target, actions }: { readonly target: MenuTarget; readonly actions: Actions }) {
  switch (target.kind) {
    case 'blocks':
      return <BlockItems actions={actions} />;
    case 'cable':
      return <CableItems input={target.input} actions={actions} />;
    case 'port':
      return <PortItems port={target.port} actions={actions} />;
    case 'ends':
      return <EndItems block={target.block} actions={actions} />;
    case 'paper':
      return (
        <>
          <Item keys="/" onSelect={() => actions.openPalette(target.at)}>
            Place a function here
          </Item>
          <Item keys="Ctrl V" onSelect={() => void actions.paste()}>
            Paste
          </Item>
          <SelectAllItem />
          <DropdownMenu.Separator className="menu-line" />
          <Item onSelect={() => void actions.tidy()}>Tidy the sketch</Item>
          <Item keys="0" onSelect={() => actions.fit()}>
            Show everything
          </Item>
        </>
      );
  }
}

function SelectAllItem() {
  const { session } = useApp();
  return (
    <Item keys="Ctrl A" onSelect={() => session.selectAll()}>
      Select all
    </Item>
  );
}

function BlockItems({ actions }: { readonly actions: Actions }) {
  const { catalogue } = useApp();
  const ids = useSession((state) => state.selection.blocks);
  const only = useSession(({ patch }) => (ids.size === 1 ? patch.blocks.find((block) => ids.has(block.id)) : undefined));
  const outputs = only ? (catalogue.get(only.type)?.outputs ?? []) : [];
  const cabled = useSession(({ patch }) => patch.cables.some(({ from, to }) => ids.has(from[0]) || ids.has(to[0])));
  return (
    <>
      {only && (
        <>
          <Item keys="Enter" onSelect={() => actions.settings()}>
            Settings
          </Item>
          <Item keys="F2" onSelect={() => requestAnimationFrame(() => actions.rename(only.id))}>
            Rename
          </Item>
        </>
      )}
      {only && outputs.length === 1 && outputs[0] && (
        <ProbeItem place={[only.id, outputs[0].id]} actions={actions} title="Clip a probe here" />
      )}
      {only && outputs.length === 1 && outputs[0] && <EarItem place={[only.id, outputs[0].id]} />}
      {only && outputs.length > 1 && (
        <DropdownMenu.Sub>
          <DropdownMenu.SubTrigger className="menu-item">Listen here</DropdownMenu.SubTrigger>
          <DropdownMenu.Portal>
            <DropdownMenu.SubContent className="menu">
              {outputs.map((output) => (
                <EarItem key={output.id} place={[only.id, output.id]} title={output.title} />
              ))}
            </DropdownMenu.SubContent>
          </DropdownMenu.Portal>
        </DropdownMenu.Sub>
      )}
      {only && outputs.length > 1 && (
        <DropdownMenu.Sub>
          <DropdownMenu.SubTrigger className="menu-item">Clip a probe here</DropdownMenu.SubTrigger>
          <DropdownMenu.Portal>
            <DropdownMenu.SubContent className="menu">
              {outputs.map((output) => (
                <ProbeItem key={output.id} place={[only.id, output.id]} actions={actions} title={output.title} />
              ))}
            </DropdownMenu.SubContent>
          </DropdownMenu.Portal>
        </DropdownMenu.Sub>
      )}
      <DropdownMenu.Separator className="menu-line" />
      <Item keys="Ctrl D" onSelect={() => actions.duplicate()}>
        Duplicate
      </Item>
      <Item keys="Ctrl C" onSelect={() => actions.copy()}>
        Copy
      </Item>
      <Item keys="Ctrl X" onSelect={() => actions.cut()}>
        Cut
      </Item>
      <DropdownMenu.Separator className="menu-line" />
      <Item disabled={!cabled} onSelect={() => actions.unplugAll()}>
        Remove all its cables
      </Item>
      <Item keys="Delete" onSelect={() => actions.remove()}>
        Delete
      </Item>
    </>
  );
}

function CableItems({ input, actions }: { readonly input: string; readonly actions: Actions }) {
  const { session } = useApp();
  const { drawn } = useSketchParts();
  const cable = useSession(({ patch }) => patch.cables.find(({ to }) => placeName(to) === input));
  if (!cable) return null;
  return (
    <>
      <EarItem place={cable.from} />
      <ProbeItem place={cable.from} actions={actions} title="Clip a probe here" />
      <Item
        onSelect={() => {
          const spot = longestMiddle(drawn.getState().routes.get(input)?.points ?? []);
          actions.openPalette(spot ? input : undefined);
        }}
      >
        Insert a function here
      </Item>
      <DropdownMenu.Separator className="menu-line" />
      <Item onSelect={() => focusPortLater({ place: cable.from, side: 'output' })}>Go to its source</Item>
      <Item onSelect={() => focusPortLater({ place: cable.to, side: 'input' })}>Go to its input</Item>
      <Item
        onSelect={() => {
          const blocks = new Set([cable.from[0], cable.to[0]]);
          session.select(blocks);
        }}
      >
        Select both blocks
      </Item>
      <DropdownMenu.Separator className="menu-line" />
      <Item keys="Delete" onSelect={() => actions.unplug(cable.to)}>
        Remove the cable
      </Item>
    </>
  );
}

/** The ports of a block at which the cable in hand can end. */
function EndItems({ block: id, actions }: { readonly block: string; readonly actions: Actions }) {
  const { catalogue } = useApp();
  const { sketch } = useSketchParts();
  const patch = useSession((state) => state.patch);
  const cabling = useSketch((state) => state.cabling);
  const block = patch.blocks.find((known) => known.id === id);
  const spec = block && catalogue.get(block.type);
  if (!cabling || !spec) return null;
  const side = cabling.from.side === 'output' ? 'input' : 'output';
  const ports = side === 'input' ? spec.inputs : spec.outputs;
  if (ports.length === 0) return <Item disabled>{`It has no ${side}`}</Item>;
  return ports.map((port) => {
    const taken = side === 'input' && patch.cables.some(({ to }) => samePlace(to, [id, port.id]));
    return (
      <Item
        key={port.id}
        onSelect={() => actions.finish(aimCabling(sketch.getState().cabling ?? cabling, undefined, { place: [id, port.id], side }))}
      >
        {port.title}
        {taken && <span className="soft small"> in use</span>}
      </Item>
    );
  });
}

function PortItems({ port, actions }: { readonly port: PortRef; readonly actions: Actions }) {
  const { session } = useApp();
  const { sketch } = useSketchParts();
  const cable = useSession(({ patch }) => (port.side === 'input' ? patch.cables.find(({ to }) => samePlace(to, port.place)) : undefined));
  return (
    <>
      <Item
        keys="Enter"
        onSelect={() => {
          sketch.setState({ cabling: startCabling(port, 'click', session.getState().patch.cables) });
          focusPortLater(port);
        }}
      >
        {port.side === 'output' ? 'Run a cable from here' : 'Run a cable to here'}
      </Item>
      {port.side === 'output' && <EarItem place={port.place} />}
      {port.side === 'output' && <ProbeItem place={port.place} actions={actions} title="Clip a probe here" />}
      {cable && (
        <>
          <EarItem place={cable.from} />
          <ProbeItem place={cable.from} actions={actions} title="Clip a probe here" />
          <Item onSelect={() => session.selectCable(placeName(cable.to))}>Select its cable</Item>
          <Item keys="Delete" onSelect={() => actions.unplug(cable.to)}>
            Remove its cable
          </Item>
        </>
      )}
      <DropdownMenu.Separator className="menu-line" />
      <Item
        onSelect={() => {
          session.select([port.place[0]]);
          focusBlock(port.place[0]);
        }}
      >
        Select its block
      </Item>
    </>
  );
}

function ProbeItem({ place, actions, title }: { readonly place: Place; readonly actions: Actions; readonly title: string }) {
  const probed = useSession(({ patch }) => !!patch.probes?.some((probe) => samePlace(probe.at, place)));
  return (
    <Item onSelect={() => (probed ? actions.unprobe(place) : actions.probe(place))}>
      {probed ? `Take the probe off${title.startsWith('Clip') ? '' : ` ${title}`}` : title}
    </Item>
  );
}

function EarItem({ place, title = 'Listen here' }: { readonly place: Place; readonly title?: string }) {
  const { ear } = useApp();
  const on = useEar((state) => state.at !== undefined && samePlace(state.at, place));
  return <Item onSelect={() => ear.toggle(place)}>{on ? 'Back to the output' : title}</Item>;
}

function focusPortLater(port: PortRef): void {
  requestAnimationFrame(() => focusPort(port));
}

interface ItemProps {
  readonly children: ReactNode;
  readonly keys?: string;
  readonly disabled?: boolean;
  readonly onSelect?: () => void;
}

function Item({ children, keys, disabled, onSelect }: ItemProps) {
  return (
    <DropdownMenu.Item className="menu-item" disabled={disabled} onSelect={onSelect}>
      <span>{children}</span>
      {keys && <kbd>{keys}</kbd>}
    </DropdownMenu.Item>
  );
}
