/** The list of functions, searchable, by group. */
import { useApp } from '../app.ts';

export function FunctionList() {
  const { specs } = useApp();
  return (
    <ul>
      {specs.map((spec) => (
        <li key={spec.type}>{spec.title}</li>
      ))}
    </ul>
  );
}
