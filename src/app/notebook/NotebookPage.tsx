/** The notebook: all patches kept in this browser. */
export function NotebookPage() {
  return <h1>Notebook</h1>;
}
