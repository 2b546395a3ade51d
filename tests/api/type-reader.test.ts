import { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { type StartReading, TypeReader } from '../../node/api/type-reader.ts';
import { InputError } from '../../node/core/errors.ts';

/** A thread that does this with `given`, its bytes, and `say`, its answer. */
const thread =
  (code: string): StartReading =>
  (bytes, megabytes) =>
    new Worker(
      `const { parentPort, workerData: given } = require('node:worker_threads'); const say = (one) => parentPort.postMessage(one); ${code}`,
      {
        eval: true,
        workerData: bytes,
        resourceLimits: { maxOldGenerationSizeMb: megabytes },
      },
    );
const bytes = new Uint8Array([7]);
const refusal = (words: RegExp) => expect.toSatisfy((error: unknown) => error instanceof InputError && words.test(error.message));

describe('a file of a fixture type that is read in a thread', () => {
  it('gives the type, or says what is wrong with it', async () => {
    expect(await new TypeReader(thread('say({ json: String(given[0]), row: {} })')).read(bytes)).toEqual({ json: '7', row: {} });
    const refusing = new TypeReader(thread('say({ refused: "no archive", problems: [{ path: "a", message: "b" }] })'));
    await expect(refusing.read(bytes)).rejects.toMatchObject({ name: 'InputError', problems: [{ path: 'a', message: 'b' }] });
  });

  it('that takes too long or too much memory is given up in plain words, and the next one is read', async () => {
    const slow = new TypeReader(thread('if (given[0] === 7) for (;;); say({ json: String(given[0]), row: {} })'), 3000);
    await expect(slow.read(bytes)).rejects.toEqual(refusal(/more than 3 seconds/));
    expect((await slow.read(new Uint8Array([8]))).json).toBe('8');
    const hungry = new TypeReader(thread('const all = []; for (;;) all.push(new Array(1000).fill({}))'));
    await expect(hungry.read(bytes)).rejects.toEqual(refusal(/more than 256 MB of memory/));
  });

  it('that breaks the reader is no mistake of its sender', async () => {
    for (const code of ['say({ broke: "at read.ts:1" })', 'throw new Error("at read.ts:1")', ''])
      await expect(new TypeReader(thread(code)).read(bytes)).rejects.not.toBeInstanceOf(InputError);
  });

  it('waits for the one before it; a fifth at a time is refused', async () => {
    const order: string[] = [];
    const reader = new TypeReader((given, megabytes) => {
      order.push(`begins ${given[0]}`);
      const worker = thread('setTimeout(() => say({ json: String(given[0]), row: {} }), 20)')(given, megabytes);
      worker.on('exit', () => order.push(`ends ${given[0]}`));
      return worker;
    });
    const all = [1, 2, 3, 4].map((one) => reader.read(new Uint8Array([one])));
    await expect(reader.read(bytes)).rejects.toEqual(refusal(/4 files are being read already/));
    expect((await Promise.all(all)).map(({ json }) => json)).toEqual(['1', '2', '3', '4']);
    expect(order).toEqual([1, 2, 3, 4].flatMap((one) => [`begins ${one}`, `ends ${one}`]));
    expect((await reader.read(bytes)).json).toBe('7');
  });
});
