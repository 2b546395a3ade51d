import { type Command, CommanderError } from 'commander';
import { describe, expect, it } from 'vitest';
import { type Offline, program, type RunOptions } from '../../node/cli/program.ts';

/** What a command line came to: what was printed where, how it ended, and what the node would have been started with. */
interface Came {
  code: number;
  out: string;
  err: string;
  run: RunOptions | undefined;
}

async function line(...args: string[]): Promise<Came> {
  const came: Came = { code: 0, out: '', err: '', run: undefined };
  const nothing = (): never => {
    throw new Error('not asked for in these tests');
  };
  const offline: Offline = {
    check: (file) => `checked ${file}`,
    schema: nothing,
    patch: (file, options) => `patched ${file} ${JSON.stringify(options)}`,
    read: nothing,
    keep: nothing,
    fetch: nothing,
    keepType: nothing,
    readTypeAgain: nothing,
    types: nothing,
    readJson: nothing,
    settings: nothing,
    keepSettings: nothing,
  };
  const run = async (options: RunOptions): Promise<void> => {
    came.run = options;
  };
  const print = (...lines: readonly string[]): void => {
    came.out += `${lines.join('\n')}\n`;
  };
  const duskhand = program({ run, offline: async () => offline }, { print, note: print, version: '1.2.3', credit: 'With thanks' });
  const quietly = (command: Command): void => {
    command.exitOverride().configureOutput({
      writeOut: (text) => {
        came.out += text;
      },
      writeErr: (text) => {
        came.err += text;
      },
    });
  };
  for (const command of [duskhand, ...duskhand.commands]) quietly(command);
  try {
    await duskhand.parseAsync(args, { from: 'user' });
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    came.code = error.exitCode;
  }
  return came;
}

const commands = program(
  { run: async () => undefined, offline: async () => ({}) as Offline },
  { print: () => undefined, note: () => undefined, version: '1', credit: '' },
).commands.map((one) => one.name());

describe('the help', () => {
  it.each(commands)('of %s says what it does and what each option is for', async (name) => {
    const { code, out, err } = await line(name, '--help');
    expect(code).toBe(0);
    expect(err).toBe('');
    expect(out).toMatch(new RegExp(`^Usage: duskhand ${name} .*\\n\\n[a-z].*\\n`));
    // Two columns: every flag has words behind it, on its line or on the next.
    const flags = out.split('\n').filter((text) => /^ {2}-/.test(text));
    expect(flags.length).toBeGreaterThan(0);
    for (const flag of flags) expect(flag).toMatch(/^ {2}-\S.* {2,}\S/);
  });

  it('gives standards as they are written on the command line', async () => {
    const { out } = await line('run', '--help');
    expect(out.replace(/\s+/g, ' ')).toContain('where the web server listens (default: 0.0.0.0:8484)');
    expect(out).not.toMatch(/[{}]/);
  });

  it('of all says what the node controls and what it does not, and gives credit where it is asked for', async () => {
    const { code, out } = await line('--help');
    expect(code).toBe(0);
    expect(out.replace(/\s+/g, ' ')).toContain('It controls show lighting only, never house, exit or emergency lighting.');
    expect(out).toContain('With thanks');
    for (const name of commands) expect(out).toContain(`\n  ${name} `);
  });

  it('gives the version', async () => {
    expect((await line('--version')).out).toBe('1.2.3\n');
  });
});

describe('a line that cannot be followed is refused in one line', () => {
  it.each([
    [['run', '--rate', '0'], 'must be 1 to 44'],
    [['run', '--rate', '45'], 'must be 1 to 44'],
    [['run', '--rate', 'fast'], 'must be 1 to 44'],
    [['run', '--rate', ''], 'must be 1 to 44'],
    [['run', '--rate', 'NaN'], 'must be 1 to 44'],
    [['run', '--rate', 'Infinity'], 'must be 1 to 44'],
    [['run', '--http', '8484'], 'must be HOST:PORT'],
    [['run', '--http', '0.0.0.0'], 'must be HOST:PORT'],
    [['run', '--http', '0.0.0.0:65536'], 'must be HOST:PORT'],
    [['run', '--http', '::1:8484'], 'must be HOST:PORT'],
    [['run', '--http', 'http://0.0.0.0:8484'], 'must be HOST:PORT'],
    [['run', '--name', 'Bad_Name'], 'must be lower-case letters, digits and hyphens'],
    [['run', '--show'], "option '--show <file>' argument missing"],
    [['run', 'now'], 'too many arguments'],
    [['run', '--sparkle'], "unknown option '--sparkle'"],
    [['blackout', 'maybe'], 'Allowed choices are on, off'],
    [['blackout'], "missing required argument 'state'"],
    [['press'], "missing required argument 'button'"],
    [['check'], "missing required argument 'file'"],
    [['pair', '--role', 'king'], 'Allowed choices are operator, helper, viewer'],
    [['disco'], "unknown command 'disco'"],
  ])('%j', async (args, reason) => {
    const { code, out, err, run } = await line(...args);
    expect(code).toBe(1);
    expect(out).toBe('');
    expect(err).toMatch(/^[^\n]+\n$/);
    expect(err).toContain(reason);
    expect(run).toBeUndefined();
  });
});

describe('what a node is started with', () => {
  it('without options is the standard port, 40 frames a second, and a folder of the user', async () => {
    const { run } = await line('run');
    expect(run).toMatchObject({ http: { host: '0.0.0.0', port: 8484 }, rate: 40 });
    expect(run?.data).toMatch(/^\/.*\/duskhand$/);
    expect(run).not.toHaveProperty('show');
    expect(run).not.toHaveProperty('sacn');
    expect(run).not.toHaveProperty('fresh');
  });

  it.each([
    ['127.0.0.1:0', { host: '127.0.0.1', port: 0 }],
    ['[::1]:8484', { host: '::1', port: 8484 }],
    ['localhost:80', { host: 'localhost', port: 80 }],
    [':8080', { host: '', port: 8080 }],
  ])('--http %s', async (text, http) => {
    expect((await line('run', '--http', text)).run?.http).toEqual(http);
  });

  it.each([
    ['1', 1],
    ['44', 44],
    ['29.97', 29.97],
  ])('--rate %s', async (text, rate) => {
    expect((await line('run', '--rate', text)).run?.rate).toBe(rate);
  });
});

describe('patch', () => {
  it('keeps what stands and writes nothing unless it is told to', async () => {
    expect((await line('patch', 'a.json', '--data', '/d')).out).toBe('patched a.json {"afresh":false,"gap":8,"data":"/d"}\n');
  });

  it('takes a gap, a fresh start and a file to write', async () => {
    const { out } = await line('patch', 'a.json', '--data', '/d', '--gap', '0', '--afresh', '--write', 'b.json');
    expect(JSON.parse(out.replace('patched a.json ', ''))).toEqual({ afresh: true, gap: 0, write: 'b.json', data: '/d' });
    for (const wrong of ['65', '-1', 'x', '1.5']) expect((await line('patch', 'a.json', '--gap', wrong)).code).not.toBe(0);
  });
});
