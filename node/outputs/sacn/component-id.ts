import { createHash } from 'node:crypto';

/**
 * Every sACN output is a source of its own, with its own sequences and its own discovery list, so it has a component identifier of its
 * own: an RFC 4122 version 5 UUID of its id under the node's identifier. It stays the same for as long as both do.
 */
export function componentId(node: Uint8Array, output: string): Uint8Array {
  const cid = createHash('sha1').update(node).update(output).digest().subarray(0, 16);
  cid[6] = ((cid[6] ?? 0) & 0x0f) | 0x50;
  cid[8] = ((cid[8] ?? 0) & 0x3f) | 0x80;
  return cid;
}
