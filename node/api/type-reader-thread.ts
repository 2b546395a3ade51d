import { parentPort, workerData } from 'node:worker_threads';
import { InputError } from '../core/errors.ts';
import { readGdtf } from '../rig/gdtf/read.ts';
import type { ReadAnswer } from './type-reader.ts';
import { importedRow } from './type-rows.ts';

/** The worker that reads one GDTF file and ends. */
const port = parentPort;
if (port === null) throw new Error('fixture types are read in a worker thread only');
const { buffer, byteOffset, byteLength } = workerData as Uint8Array;

const answer: ReadAnswer = await readGdtf(Buffer.from(buffer, byteOffset, byteLength)).then(
  ({ type, images }) => ({ json: JSON.stringify(type), row: importedRow(type), images }),
  (error: unknown) =>
    error instanceof InputError
      ? { refused: error.message, problems: error.problems }
      : { broke: error instanceof Error ? (error.stack ?? error.message) : String(error) },
);
port.postMessage(answer);
