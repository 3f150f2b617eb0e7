// Prints the section "Labels of the page" of docs/words.md from labels.ts, for pasting in after labels were changed and agreed on.
import { createServer } from 'vite';

const server = await createServer({ server: { middlewareMode: true }, optimizeDeps: { noDiscovery: true }, configFile: false, logLevel: 'error' });
const { labels } = await server.ssrLoadModule('/src/lib/labels.ts');
console.log('## Labels of the page\n');
console.log('Everything the page names at a glance (`web/src/lib/labels.ts`); its test compares the two lists both ways.\n');
for (const [group, held] of Object.entries(labels)) {
  let line = `- ${group}:`;
  const lines = [];
  const words = Object.values(held).map((word, k, all) => (k + 1 < all.length ? `${word} ·` : word));
  for (const word of words) {
    if (line.length + word.length + 1 > 140) {
      lines.push(line);
      line = ' ';
    }
    line += ` ${word}`;
  }
  console.log([...lines, line].join('\n'));
}
await server.close();
