import { z } from 'zod';
import { InputError } from '../core/errors.ts';
import { LONGEST_LIST, readAs } from '../core/explain.ts';
import { depthProblem, TOO_DEEP } from '../core/json.ts';
import { type OutputSettings, outputSettings } from '../core/output-settings.ts';
import { SHOW_VERSION, type Show, showDocument } from './document.ts';
import { faultsOf } from './faults.ts';
import { bringUp, type Document } from './versions.ts';

const MISTAKES = 'The show has mistakes';

/** A show, and what its document held besides. */
export interface Reading {
  readonly show: Show;
  /** The outputs that a document of version 1 had: they belong to the node now. */
  readonly outputs?: readonly OutputSettings[];
}

/** @throws InputError where it is no JSON, or nested deeper than any document here. */
export function parseJson(text: string): unknown {
  const json = parsed(text);
  const deep = depthProblem(json);
  if (deep !== undefined) throw new InputError(TOO_DEEP, [deep]);
  return json;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new InputError('This is not JSON', [{ path: '', message: error instanceof Error ? error.message : String(error) }]);
  }
}

/**
 * Reads a draft of any version from a value taken out of JSON: its shape is right, but it may be incomplete.
 * @throws InputError naming the problems found: where, what is allowed, what stands there.
 */
export function readDraft(json: unknown): Reading {
  refuseOthers(json);
  const { document, outputs } = bringUp(json);
  const show = readAs(showDocument, document, MISTAKES);
  return outputs === undefined ? { show } : { show, ...readAs(besides, { outputs }, MISTAKES) };
}

const besides = z.object({ outputs: z.array(outputSettings) });

/** As {@link readDraft}, for a show that is to be played: it must have no faults either. */
export function readShow(json: unknown): Reading {
  const reading = readDraft(json);
  const faults = faultsOf(reading.show, LONGEST_LIST);
  if (faults.length > 0) throw new InputError(MISTAKES, faults);
  return reading;
}

/** As {@link readShow}, for whoever wants the show alone. */
export const checkShow = (json: unknown): Show => readShow(json).show;

/** The published JSON Schema (draft 2020-12) of the show document, as it may be written: fields with a default may be left out. */
export function showSchema(): object {
  return { title: 'Duskhand show', ...z.toJSONSchema(showDocument, { io: 'input' }) };
}

function refuseOthers(json: unknown): asserts json is Document {
  const head = z.looseObject({ format: z.literal('duskhand-show'), version: z.number() }).safeParse(json);
  if (!head.success) {
    throw new InputError('This is not a Duskhand show', [
      { path: '', message: 'must be an object with "format": "duskhand-show" and a "version"' },
    ]);
  }
  if (head.data.version > SHOW_VERSION) {
    throw new InputError(
      `This show was made by a newer Duskhand (document version ${head.data.version}, this one reads up to ${SHOW_VERSION})`,
      [{ path: 'version', message: 'Update Duskhand on this node to open it; the file is left as it is' }],
    );
  }
}
