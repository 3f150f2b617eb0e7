import { readFileSync, readdirSync } from 'node:fs';
import { parse, type AST } from 'svelte/compiler';
import { describe, expect, it } from 'vitest';
import { everyLabel, labels } from './labels';
import { readLabels } from './wordsFile';

const words = readFileSync(new URL('../../../docs/words.md', import.meta.url), 'utf8');

describe('the labels of the page', () => {
  it('all stand in docs/words.md, and no other stands there', () => {
    const listed = readLabels(words);
    expect(everyLabel.filter((label) => !listed.includes(label))).toEqual([]);
    expect(listed.filter((label) => !everyLabel.includes(label))).toEqual([]);
  });
  it('name exactly the five places', () => {
    expect(Object.values(labels.places)).toEqual(['Brief', 'Flown', 'Shed', 'Machine', 'Book']);
    expect(words).toContain('Places of the page: **Brief, Flown, Shed, Machine, Book**');
  });
  it('call the four states as the words page does', () => {
    expect(words).toContain('| short, thin, ample, unknown |');
  });
  it('are nowhere written into a component', () => {
    const found: string[] = [];
    for (const folder of ['..', '../parts', '../views']) {
      const place = new URL(`${folder}/`, import.meta.url);
      for (const name of readdirSync(place).filter((one) => one.endsWith('.svelte'))) {
        const source = readFileSync(new URL(name, place), 'utf8');
        const walk = (node: unknown): void => {
          if (Array.isArray(node)) node.forEach(walk);
          else if (node && typeof node === 'object') {
            const one = node as AST.Text & Record<string, unknown>;
            if (one.type === 'Text' && /\p{L}{2,}/u.test(one.data)) found.push(`${name}: ${one.data.trim()}`);
            for (const [key, value] of Object.entries(one)) {
              const attribute = one['type'] as string === 'Attribute' && !/^(aria-label|title|placeholder|alt)$/.test(String(one['name']));
              if (key !== 'parent' && key !== 'css' && key !== 'instance' && key !== 'module' && !attribute && (one['type'] as string) !== 'StyleDirective') walk(value);
            }
          }
        };
        walk(parse(source, { modern: true }).fragment);
      }
    }
    expect(found).toEqual([]);
  });
});
