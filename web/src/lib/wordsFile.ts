// Reads the list of labels out of docs/words.md; used by the test that compares it with labels.ts.

/** The labels listed under "Labels of the page": lines "- Group: one · two · three". */
export function readLabels(words: string): string[] {
  const start = words.indexOf('\n## Labels of the page');
  if (start < 0) return [];
  const rest = words.slice(start + 4);
  const end = rest.indexOf('\n## ');
  const section = end < 0 ? rest : rest.slice(0, end);
  return section
    .replace(/\n {2}/g, ' ')
    .split('\n')
    .filter((line) => line.startsWith('- '))
    .flatMap((line) => line.slice(line.indexOf(': ') + 2).split(' · '))
    .map((label) => label.trim());
}
