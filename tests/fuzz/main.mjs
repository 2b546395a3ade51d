import process from 'node:process';
import { parseArgs } from 'node:util';
import { fuzzNode } from './node.mjs';
import { fuzzParsers } from './parsers.mjs';

/**
 * Throws malformed datagrams at everything that listens: `npm run fuzz`. Ends with an error, and the seed to repeat it by, at the first
 * thing that is not as it should be.
 */
const { values } = parseArgs({
  options: {
    /** Datagrams for the parsers in memory, and over real sockets. */
    memory: { type: 'string', default: '1000000' },
    sockets: { type: 'string', default: '200000' },
    seed: { type: 'string', default: String(Date.now() & 0xffffffff) },
  },
});
const print = (line) => process.stdout.write(`${line}\n`);

const [memory, count, seed] = [values.memory, values.sockets, values.seed].map(Number);
print(`Seed ${seed}`);
print(`${memory} datagrams in memory`);
fuzzParsers(memory, seed, print);
print(`${count} datagrams over sockets at a running node`);
await fuzzNode(count, seed, print);
print('All is as it should be');
