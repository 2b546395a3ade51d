import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import process from 'node:process';
import { watchWire } from '../fuzz/wire-page.mjs';

/** Watches the wire of the node whose data folder is given, and prints a line for every report: the other senders as JSON. */
const [folder = ''] = process.argv.slice(2);
const nodeFile = JSON.parse(readFileSync(join(folder, 'node.json'), 'utf8'));
await watchWire(nodeFile, ({ sources }) => process.stdout.write(`${JSON.stringify(sources)}\n`));
