// Writes public/licences.txt: what dist/ holds of others, with their licences. Run it after a version in package.json was changed.
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';

const held = ['svelte', 'clsx', 'esm-env', 'uplot', 'leaflet', 'pmtiles', 'fflate', '@fontsource-variable/atkinson-hyperlegible-next'];
let text = 'This page holds work of others, under these licences.\n';
for (const name of held) {
  const folder = new URL(`../node_modules/${name}/`, import.meta.url);
  let files;
  try {
    files = readdirSync(folder);
  } catch {
    continue;
  }
  const { version, license } = JSON.parse(readFileSync(new URL('package.json', folder), 'utf8'));
  const file = files.find((one) => /^licen[cs]e/i.test(one));
  // The package of pmtiles comes without the text of its licence.
  const place = file ? new URL(file, folder) : new URL(`licence-${name}.txt`, import.meta.url);
  text += `\n${'-'.repeat(72)}\n${name} ${version}, ${license}\n\n${readFileSync(place, 'utf8').trim()}\n`;
}
writeFileSync(new URL('../public/licences.txt', import.meta.url), text);
