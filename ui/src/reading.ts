import type { ToRemote } from '../../node/api/contract.ts';
import { SLOTS } from '../../node/core/levels.ts';
import { LEVELS_HEADER } from '../../node/core/remote.ts';

/** What came over the line as text. Undefined: no message, and nothing that could be made of it. */
export function readMessage(text: string): ToRemote | undefined {
  try {
    const message: unknown = JSON.parse(text);
    return typeof message === 'object' && message !== null && 'type' in message ? (message as ToRemote) : undefined;
  } catch {
    return undefined;
  }
}

/** A binary frame of levels, as `core/remote.ts` has it. Undefined: of another length, so it is none. */
export function readLevels(data: ArrayBuffer): { readonly universe: number; readonly slots: Uint8Array } | undefined {
  if (data.byteLength !== LEVELS_HEADER + SLOTS) return undefined;
  return { universe: new DataView(data).getUint16(0), slots: new Uint8Array(data, LEVELS_HEADER) };
}
