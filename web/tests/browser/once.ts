// Once for a run: the invented season, made by the program under test. Each test works on a copy of it.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { environment, program } from './server';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  export interface ProvidedContext {
    folder: string;
  }
}

export default function once(project: TestProject): () => void {
  if (!existsSync(program)) throw new Error(`${program} is not there: build it (cmake --build build/dev), or say where it is with HEADROOM`);
  const folder = mkdtempSync(join(tmpdir(), 'headroom-page-'));
  execFileSync(program, ['demo', join(folder, 'season')], { env: environment(folder), stdio: ['ignore', 'ignore', 'inherit'] });
  mkdirSync(new URL('../../screens/', import.meta.url), { recursive: true });
  project.provide('folder', folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
