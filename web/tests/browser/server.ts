// `headroom serve`, as a process of its own that can be killed and started again on its port.
import { spawn, type ChildProcess } from 'node:child_process';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const program = resolve(process.env['HEADROOM'] ?? fileURLToPath(new URL('../../../build/dev/headroom', import.meta.url)));

/** Nothing of the person who runs the tests: no book, no settings, no cache. */
export const environment = (folder: string): NodeJS.ProcessEnv => ({
  PATH: '/usr/bin:/bin',
  LANG: 'C.UTF-8',
  TZ: 'UTC',
  HOME: folder,
  XDG_DATA_HOME: `${folder}/data`,
  XDG_STATE_HOME: `${folder}/state`,
  XDG_CACHE_HOME: `${folder}/cache`,
  ...Object.fromEntries(Object.entries(process.env).filter(([name]) => name.endsWith('SAN_OPTIONS'))),
});

export class Server {
  address = '';
  private running: ChildProcess | null = null;

  constructor(
    private readonly folder: string,
    private readonly book: string,
    private readonly more: string[] = [],
  ) {}

  /** On the port it had before, if it ran before. */
  async start(): Promise<void> {
    const port = this.address === '' ? '0' : new URL(this.address).port;
    const child = spawn(program, ['--book', this.book, 'serve', '--port', port, ...this.more], {
      env: environment(this.folder),
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    this.running = child;
    let said = '';
    this.address = await new Promise<string>((done, failed) => {
      child.stdout.setEncoding('utf8');
      child.stdout.on('data', (text: string) => {
        said += text;
        const address = /^http:\/\/\S+/.exec(said)?.[0];
        if (said.includes('\n') && address) done(address);
      });
      child.on('error', failed);
      child.on('exit', (code) => failed(new Error(`the server ended with ${code} before it said where it is: ${said}`)));
    });
  }

  /** As a battery that is pulled: nothing is said, nothing is finished. */
  kill(): Promise<void> {
    return this.end('SIGKILL');
  }
  stop(): Promise<void> {
    return this.end('SIGTERM');
  }

  private async end(how: NodeJS.Signals): Promise<void> {
    const child = this.running;
    this.running = null;
    if (!child || child.exitCode !== null) return;
    const ended = new Promise((done) => child.once('exit', done));
    child.kill(how);
    await ended;
  }
}
