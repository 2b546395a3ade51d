#!/usr/bin/env node
import { Worker } from 'node:worker_threads';

// A node that is to run has its engine's thread made first of all: it loads while this one loads and reads what is to play.
const engine = process.argv[2] === 'run' ? new Worker(new URL('./engine/thread.js', import.meta.url)) : undefined;
const { enter } = await import('./entry.ts');
await enter(engine);
