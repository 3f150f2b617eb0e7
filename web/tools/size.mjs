// What the first load weighs, gzipped: index.html and all that it names, and what those scripts import at once.
// Chunks that are asked for later (charts, the map) and the typeface are told beside it. Fails above the budget.
import { readFileSync, readdirSync } from 'node:fs';
import { gzipSync } from 'node:zlib';

const budget = 60 * 1024;
const dist = new URL('../dist/', import.meta.url);
const weigh = (name) => gzipSync(readFileSync(new URL(name, dist)), { level: 9 }).length;
const first = new Set(['index.html']);
const html = readFileSync(new URL('index.html', dist), 'utf8');
for (const [, name] of html.matchAll(/(?:src|href)="\.\/([^"]+)"/g)) first.add(name);
for (const name of first) {
  if (!name.endsWith('.js')) continue;
  const text = readFileSync(new URL(name, dist), 'utf8');
  for (const [, , other] of text.matchAll(/(from|import)\s*"\.\/([^"]+\.js)"/g)) first.add(`assets/${other}`);
}
let sum = 0;
for (const name of first) {
  sum += weigh(name);
  console.log(`first   ${String(weigh(name)).padStart(7)}  ${name}`);
}
for (const name of readdirSync(new URL('assets/', dist)).sort()) {
  if (!first.has(`assets/${name}`)) console.log(`later   ${String(weigh(`assets/${name}`)).padStart(7)}  assets/${name}`);
}
console.log(`first load ${(sum / 1024).toFixed(1)} KB gzipped, budget ${budget / 1024} KB`);
if (sum > budget) process.exit(1);
