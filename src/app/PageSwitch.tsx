/** Which page is shown, and the theme. */
import { useApp, useView } from './app.ts';
import { Icon } from './Icon.tsx';
import type { Page, Theme } from './store/viewState.ts';

/** Title, and the shorter one of narrow screens. */
const pages: readonly (readonly [Page, string, string])[] = [
  ['sketch', 'Sketch', 'Sketch'],
  ['sheet', 'Patch sheet', 'Sheet'],
  ['notebook', 'Notebook', 'Notebook'],
];

const themes: Readonly<Record<Theme, { readonly next: Theme; readonly icon: 'half' | 'sun' | 'moon'; readonly name: string }>> = {
  system: { next: 'light', icon: 'half', name: "the device's theme" },
  light: { next: 'dark', icon: 'sun', name: 'paper' },
  dark: { next: 'system', icon: 'moon', name: 'slate' },
};

export function PageSwitch() {
  const { view } = useApp();
  const page = useView((state) => state.page);
  const theme = themes[useView((state) => state.theme)];
  return (
    <nav className="shell-pages" aria-label="Pages">
      {pages.map(([id, title, short]) => (
        <button
          key={id}
          type="button"
          aria-current={page === id ? 'page' : undefined}
          onClick={() => view.setState({ page: id, drawer: undefined })}
        >
          <span className="wide-only">{title}</span>
          <span className="narrow-only">{short}</span>
        </button>
      ))}
      <button
        type="button"
        aria-label={`Theme: ${theme.name}. Change to ${themes[theme.next].name}`}
        title={`Theme: ${theme.name}`}
        onClick={() => view.setState({ theme: theme.next })}
      >
        <Icon name={theme.icon} />
      </button>
    </nav>
  );
}
