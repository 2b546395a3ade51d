import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterEach, describe, expect, it } from 'vitest';
import { duskhand, endAll, LOOPBACK, newFolder, showFile } from '../helpers/node-process.ts';
import { plainShow } from './plain-show.ts';

/** Commands that need no running node, and what they say when they need one. As processes, the way a person starts them. */
afterEach(endAll);

const SHOWS = fileURLToPath(new URL('../../shows/', import.meta.url));
const demos = readdirSync(SHOWS)
  .filter((name) => name.endsWith('.json'))
  .map((name) => SHOWS + name);

describe('a command that fails', () => {
  it('says in one line that no node runs', async () => {
    const lines = [
      ['press', 'warm'],
      ['release', 'warm'],
      ['blackout', 'on'],
      ['resume'],
      ['status'],
      ['pair'],
      ['remotes'],
      ['forget', 'all'],
      ['attend'],
    ];
    const folder = newFolder();
    const stderr = `No node is running with the data folder ${folder}; start one with "duskhand run"\n`;
    const ended = await Promise.all(lines.map((line) => duskhand([...line, '--data', folder])));
    for (const [i, one] of ended.entries()) expect(one, lines[i]?.join(' ')).toMatchObject({ code: 1, stdout: '', stderr });
  });

  it('says in one line what is allowed', async () => {
    const rows: readonly (readonly [string[], RegExp])[] = [
      [['run', ...LOOPBACK, '--sacn', 'nowhere'], /^--sacn nowhere: must be multicast, off or an IP address/],
      [['run', ...LOOPBACK, '--sacn', '127.0.0.1:0'], /^--sacn 127.0.0.1:0: must be multicast, off or an IP address/],
      [['run', ...LOOPBACK, '--sacn', '127.0.0.256'], /^--sacn 127.0.0.256: must be multicast, off or an IP address/],
      [['run', ...LOOPBACK, '--artnet', 'multicast'], /^--artnet multicast: must be auto, off or an IPv4 address/],
      [['run', ...LOOPBACK, '--artnet', '127.0.0.1:65536'], /^--artnet 127.0.0.1:65536: must be auto, off or an IPv4 address/],
      // Art-Net knows IPv4 only.
      [['run', ...LOOPBACK, '--artnet', '::1'], /^--artnet ::1: must be auto, off or an IPv4 address/],
      [['run', ...LOOPBACK, '--rate', '45'], /^error: .*must be 1 to 44/],
      [['export'], /^The store holds no show yet/],
      [['disco'], /^error: unknown command 'disco'/],
    ];
    const ended = await Promise.all(rows.map(([line]) => duskhand([...line, '--data', newFolder()])));
    for (const [i, { code, stdout, stderr }] of ended.entries()) {
      expect(stderr).toMatch(rows[i]?.[1] as RegExp);
      expect(stderr).toMatch(/^[^\n]+\n$/);
      expect(stdout).toBe('');
      expect(code).toBe(1);
    }
  });
});

describe('check', () => {
  it('finds no mistakes in the demo shows', async () => {
    expect(demos.length).toBeGreaterThan(0);
    for (const file of demos) {
      const { fixtures, name } = JSON.parse(readFileSync(file, 'utf8')) as { fixtures: unknown[]; name: string };
      const { code, stdout, stderr } = await duskhand(['check', file]);
      expect(stderr).toBe('');
      expect(code).toBe(0);
      expect(stdout).toContain(`${name}: ${fixtures.length} fixtures on universes `);
      expect(stdout).toContain('No mistakes found.');
    }
  });

  it('says of every mistake where it is, what stands there and what is allowed', async () => {
    const [first, ...others] = plainShow.fixtures;
    const file = showFile({
      ...plainShow,
      tempo: 3000,
      fixtures: [{ ...first, address: 513 }, ...others],
      buttons: [{ id: 'Loud!', name: 'Loud', starts: [{ look: 'base' }] }],
    });
    const { code, stdout, stderr } = await duskhand(['check', file]);
    expect(code).toBe(1);
    expect(stdout).toBe('');
    expect(stderr.split('\n').sort()).toEqual(
      [
        '',
        'The show has mistakes',
        '  buttons[0].id: must be lower-case letters and digits, words joined by "-" (found "Loud!")',
        '  fixtures[0].address: must be at most 512 (found 513)',
        '  tempo: must be at most 300 (found 3000)',
      ].sort(),
    );
  });

  it('says what a name that leads nowhere could have been, and which lamps want the same slot', async () => {
    const [first, ...others] = plainShow.fixtures;
    const file = showFile({ ...plainShow, fixtures: [{ ...first, address: 2 }, ...others], start: [{ look: 'bass' }] });
    const { code, stderr } = await duskhand(['check', file]);
    expect(code).toBe(1);
    expect(stderr).toContain('  start[0].look: there is no look "bass"; known are base, warm, full, slow\n');
    expect(stderr).toContain('  fixtures[1].address: "Lamp 2" and "Lamp 1" both want slot 2 of universe 1\n');
  });

  it.each([
    ['{"format": "duskhand-show",', /^This is not JSON\n {2}\S.*\n$/],
    ['[]', /^This is not a Duskhand show\n {2}must be an object with "format": "duskhand-show" and a "version"\n$/],
    ['', /^This is not JSON\n/],
    ['{"format": "duskhand-show", "version": 99}', /^This show was made by a newer Duskhand \(document version 99, /],
  ])('says what is wrong with a file of %j', async (text, words) => {
    const { code, stdout, stderr } = await duskhand(['check', showFile(text)]);
    expect(stderr).toMatch(words);
    expect(stdout).toBe('');
    expect(code).toBe(1);
  });
});

describe('schema', () => {
  it('is JSON Schema 2020-12 by a validator of its own, which takes the demo shows and finds a mistake', async () => {
    const { code, stdout } = await duskhand(['schema']);
    expect(code).toBe(0);
    const schema = JSON.parse(stdout) as { $schema: string };
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
    const validate = new Ajv2020({ strict: true, allowUnionTypes: true }).compile(schema);
    for (const file of demos) {
      validate(JSON.parse(readFileSync(file, 'utf8')));
      expect(validate.errors, file).toBeNull();
    }
    expect(validate(plainShow)).toBe(true);
    expect(validate({ ...plainShow, tempo: 3000 })).toBe(false);
    expect(validate.errors?.[0]?.instancePath).toBe('/tempo');
  });
});
