/** A button that opens a menu. */
import { DropdownMenu } from 'radix-ui';
import { Fragment } from 'react';
import { Icon } from '../Icon.tsx';

export interface MenuEntry {
  readonly title: string;
  /** The key that does the same. */
  readonly keys?: string;
  readonly onSelect: () => void;
}

export interface MenuButtonProps {
  readonly name: string;
  /** Groups of entries, with a line between them. */
  readonly groups: readonly (readonly MenuEntry[])[];
  readonly align?: 'start' | 'end';
}

export function MenuButton({ name, groups, align = 'end' }: MenuButtonProps) {
  return (
    <DropdownMenu.Root>
      <DropdownMenu.Trigger className="menu-button" aria-label={name} title={name}>
        <Icon name="more" />
      </DropdownMenu.Trigger>
      <DropdownMenu.Portal>
        <DropdownMenu.Content className="menu" align={align} sideOffset={2}>
          {groups.map((entries, i) => (
            <Fragment key={entries[0]?.title}>
              {i > 0 && <DropdownMenu.Separator className="menu-line" />}
              {entries.map(({ title, keys, onSelect }) => (
                <DropdownMenu.Item
                  key={title}
                  className="menu-item"
                  aria-label={title}
                  aria-keyshortcuts={keys?.replace('Ctrl ', 'Control+')}
                  onSelect={onSelect}
                >
                  <span>{title}</span>
                  {keys && <kbd>{keys}</kbd>}
                </DropdownMenu.Item>
              ))}
            </Fragment>
          ))}
        </DropdownMenu.Content>
      </DropdownMenu.Portal>
    </DropdownMenu.Root>
  );
}
