import { SLOTS } from '../../core/levels.ts';
import type { Byte, Universe } from '../../core/units.ts';
import { type Field, get, type Table, wrongField } from './fields.ts';
import {
  dataPacket,
  discoveryPacket,
  FIRST_UNIVERSE,
  FORCE_SYNCHRONIZATION,
  HIGHEST_PRIORITY,
  LAST_UNIVERSE,
  PREVIEW_DATA,
  rootLayer,
  SLOTS_AT,
  STREAM_TERMINATED,
  SYNC_LENGTH,
  syncPacket,
  UNIVERSES_AT,
  UNIVERSES_PER_PAGE,
} from './tables.ts';

/** Octets and slots in a parsed packet are views of the datagram, not copies. */
export type SacnPacket = SacnData | SacnSync | SacnDiscovery;

export interface SacnData {
  readonly kind: 'data';
  readonly cid: Uint8Array;
  readonly sourceName: string;
  readonly priority: number;
  /** 0: not synchronized. */
  readonly synchronizationAddress: number;
  readonly sequence: Byte;
  readonly preview: boolean;
  readonly terminated: boolean;
  readonly forceSynchronization: boolean;
  readonly universe: Universe;
  readonly startCode: Byte;
  readonly slots: Uint8Array;
}

export interface SacnSync {
  readonly kind: 'sync';
  readonly cid: Uint8Array;
  readonly sequence: Byte;
  readonly synchronizationAddress: Universe;
}

export interface SacnDiscovery {
  readonly kind: 'discovery';
  readonly cid: Uint8Array;
  readonly sourceName: string;
  readonly page: number;
  readonly lastPage: number;
  readonly universes: readonly Universe[];
}

/** The field that is wrong, by its name in `tables.ts`; or `size`: no packet of that kind has as few or as many octets. */
export type RefusalReason =
  | 'size'
  | 'universes'
  | keyof typeof rootLayer
  | keyof typeof dataPacket
  | keyof typeof syncPacket
  | keyof typeof discoveryPacket;

export interface Refusal {
  readonly kind: 'refused';
  readonly reason: RefusalReason;
}

/** Octets up to the framing vector: as far as all packets are alike. */
const COMMON_LENGTH = 44;

/** Reads any datagram as E1.31, strictly: what a receiver has to discard is refused, as is any value out of its range. Never throws. */
export function parseSacn(bytes: Uint8Array): SacnPacket | Refusal {
  if (bytes.length < COMMON_LENGTH) return refused('size');
  const wrong = wrongField(rootLayer, bytes);
  if (wrong !== undefined) return refused(wrong);
  if (hasVectors(bytes, dataPacket)) return parseData(bytes);
  if (hasVectors(bytes, syncPacket)) return parseSync(bytes);
  if (hasVectors(bytes, discoveryPacket)) return parseDiscovery(bytes);
  const root = get(bytes, rootLayer.rootVector);
  return refused(root === dataPacket.rootVector.is || root === syncPacket.rootVector.is ? 'framingVector' : 'rootVector');
}

function parseData(bytes: Uint8Array): SacnData | Refusal {
  if (bytes.length < SLOTS_AT || bytes.length > SLOTS_AT + SLOTS) return refused('size');
  const wrong = wrongField(dataPacket, bytes);
  if (wrong !== undefined) return refused(wrong);
  const priority = get(bytes, dataPacket.priority);
  if (priority > HIGHEST_PRIORITY) return refused('priority');
  const synchronizationAddress = get(bytes, dataPacket.synchronizationAddress);
  if (synchronizationAddress > LAST_UNIVERSE) return refused('synchronizationAddress');
  const universe = get(bytes, dataPacket.universe);
  if (!isUniverse(universe)) return refused('universe');
  const slots = bytes.subarray(SLOTS_AT);
  if (get(bytes, dataPacket.propertyValueCount) !== slots.length + 1) return refused('propertyValueCount');
  const options = get(bytes, dataPacket.options);
  return {
    kind: 'data',
    cid: octets(bytes, dataPacket.cid),
    sourceName: text(bytes, dataPacket.sourceName),
    priority,
    synchronizationAddress,
    sequence: get(bytes, dataPacket.sequence),
    preview: (options & PREVIEW_DATA) !== 0,
    terminated: (options & STREAM_TERMINATED) !== 0,
    forceSynchronization: (options & FORCE_SYNCHRONIZATION) !== 0,
    universe,
    startCode: get(bytes, dataPacket.startCode),
    slots,
  };
}

function parseSync(bytes: Uint8Array): SacnSync | Refusal {
  if (bytes.length !== SYNC_LENGTH) return refused('size');
  const synchronizationAddress = get(bytes, syncPacket.synchronizationAddress);
  if (!isUniverse(synchronizationAddress)) return refused('synchronizationAddress');
  return { kind: 'sync', cid: octets(bytes, syncPacket.cid), sequence: get(bytes, syncPacket.sequence), synchronizationAddress };
}

function parseDiscovery(bytes: Uint8Array): SacnDiscovery | Refusal {
  const count = (bytes.length - UNIVERSES_AT) / 2;
  if (!Number.isInteger(count) || count < 0 || count > UNIVERSES_PER_PAGE) return refused('size');
  const wrong = wrongField(discoveryPacket, bytes);
  if (wrong !== undefined) return refused(wrong);
  const page = get(bytes, discoveryPacket.page);
  const lastPage = get(bytes, discoveryPacket.lastPage);
  if (page > lastPage) return refused('page');
  const universes = Array.from({ length: count }, (_, i) => get(bytes, { at: UNIVERSES_AT + 2 * i, size: 2 }));
  if (!universes.every(isUniverse)) return refused('universes');
  const sourceName = text(bytes, discoveryPacket.sourceName);
  return { kind: 'discovery', cid: octets(bytes, discoveryPacket.cid), sourceName, page, lastPage, universes };
}

const refused = (reason: RefusalReason): Refusal => ({ kind: 'refused', reason });

const isUniverse = (universe: number): boolean => universe >= FIRST_UNIVERSE && universe <= LAST_UNIVERSE;

const hasVectors = (bytes: Uint8Array, table: { readonly rootVector: Field; readonly framingVector: Field } & Table): boolean =>
  get(bytes, table.rootVector) === table.rootVector.is && get(bytes, table.framingVector) === table.framingVector.is;

const octets = (bytes: Uint8Array, { at, size }: Field): Uint8Array => bytes.subarray(at, at + size);

/** Text up to the first zero; octets that are no UTF-8 become U+FFFD. */
function text(bytes: Uint8Array, field: Field): string {
  const raw = octets(bytes, field);
  const end = raw.indexOf(0);
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(end < 0 ? raw : raw.subarray(0, end));
}
