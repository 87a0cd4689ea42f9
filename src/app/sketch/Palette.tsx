/** Type a function's name, press Enter, and it is placed. */
import { Command } from 'cmdk';
import { Dialog } from 'radix-ui';
import { useState } from 'react';
import { useApp, useView } from '../app.ts';
import { findFunctions } from '../functions/find.ts';
import { SymbolThumb } from '../SymbolDrawing.tsx';
import type { Actions } from './actions.ts';
import { focusBlock } from './focus.ts';
import { longestMiddle } from './middle.ts';
import { useSketchParts } from './sketchStore.ts';

export function Palette({ actions }: { readonly actions: Actions }) {
  const { view } = useApp();
  const open = useView((state) => state.palette);
  return (
    <Dialog.Root open={open} onOpenChange={(next) => view.setState({ palette: next })}>
      <Dialog.Portal>
        <Dialog.Overlay className="palette-shade" />
        <Dialog.Content className="palette" aria-describedby={undefined}>
          <Dialog.Title className="unseen">Place a function</Dialog.Title>
          <Chooser actions={actions} />
        </Dialog.Content>
      </Dialog.Portal>
    </Dialog.Root>
  );
}

function Chooser({ actions }: { readonly actions: Actions }) {
  const { specs, symbols, view } = useApp();
  const { sketch, drawn } = useSketchParts();
  const [typed, setTyped] = useState('');

  const choose = (type: string): void => {
    const { placeAt } = sketch.getState();
    view.setState({ palette: false });
    const id = typeof placeAt === 'string' ? placeInto(type, placeAt) : actions.place(type, placeAt);
    sketch.setState({ placeAt: undefined });
    if (id) focusBlock(id);
  };
  const placeInto = (type: string, input: string): string | undefined => {
    const spot = longestMiddle(drawn.getState().routes.get(input)?.points ?? []);
    return spot && actions.placeInto(type, input, spot.at);
  };

  return (
    <Command shouldFilter={false} loop label="Functions">
      <Command.Input autoFocus placeholder="Type a function's name" value={typed} onValueChange={setTyped} />
      <Command.List>
        <Command.Empty className="soft">No function goes by that name.</Command.Empty>
        {findFunctions(specs, typed).map((spec) => (
          <Command.Item key={spec.type} value={spec.type} onSelect={choose}>
            <SymbolThumb symbol={symbols[spec.type]} />
            <span>{spec.title}</span>
            <span className="soft small">{spec.say}</span>
          </Command.Item>
        ))}
      </Command.List>
    </Command>
  );
}
