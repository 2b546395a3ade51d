import { SLOTS } from '../../core/levels.ts';
import { FIRST_UNIVERSE, LAST_UNIVERSE } from '../../core/output-settings.ts';
import type { Byte, Universe } from '../../core/units.ts';
import { type Fixed, read, wrongField } from '../packet-table.ts';
import {
  dataPacket,
  discoveryLength,
  discoveryPacket,
  FORCE_SYNCHRONIZATION,
  HIGHEST_PRIORITY,
  listedUniverse,
  PREVIEW_DATA,
  rootLayer,
  SLOTS_AT,
  STREAM_TERMINATED,
  SYNC_LENGTH,
  syncPacket,
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
  const root = rootLayer.rootVector.get(bytes);
  return refused(root === dataPacket.rootVector.is || root === syncPacket.rootVector.is ? 'framingVector' : 'rootVector');
}

function parseData(bytes: Uint8Array): SacnData | Refusal {
  if (bytes.length < SLOTS_AT || bytes.length > SLOTS_AT + SLOTS) return refused('size');
  const wrong = wrongField(dataPacket, bytes);
  if (wrong !== undefined) return refused(wrong);
  const { options, propertyValueCount, ...fields } = read(bytes, dataPacket);
  if (fields.priority > HIGHEST_PRIORITY) return refused('priority');
  if (fields.synchronizationAddress > LAST_UNIVERSE) return refused('synchronizationAddress');
  if (!isUniverse(fields.universe)) return refused('universe');
  const slots = bytes.subarray(SLOTS_AT);
  if (propertyValueCount !== slots.length + 1) return refused('propertyValueCount');
  return {
    kind: 'data',
    ...fields,
    preview: (options & PREVIEW_DATA) !== 0,
    terminated: (options & STREAM_TERMINATED) !== 0,
    forceSynchronization: (options & FORCE_SYNCHRONIZATION) !== 0,
    slots,
  };
}

function parseSync(bytes: Uint8Array): SacnSync | Refusal {
  if (bytes.length !== SYNC_LENGTH) return refused('size');
  const fields = read(bytes, syncPacket);
  return isUniverse(fields.synchronizationAddress) ? { kind: 'sync', ...fields } : refused('synchronizationAddress');
}

function parseDiscovery(bytes: Uint8Array): SacnDiscovery | Refusal {
  const count = (bytes.length - discoveryLength(0)) / 2;
  if (!Number.isInteger(count) || count < 0 || count > UNIVERSES_PER_PAGE) return refused('size');
  const wrong = wrongField(discoveryPacket, bytes);
  if (wrong !== undefined) return refused(wrong);
  const fields = read(bytes, discoveryPacket);
  if (fields.page > fields.lastPage) return refused('page');
  const universes = Array.from({ length: count }, (_, i) => listedUniverse(i).get(bytes));
  return universes.every(isUniverse) ? { kind: 'discovery', ...fields, universes } : refused('universes');
}

const refused = (reason: RefusalReason): Refusal => ({ kind: 'refused', reason });

const isUniverse = (universe: number): boolean => universe >= FIRST_UNIVERSE && universe <= LAST_UNIVERSE;

const hasVectors = (
  bytes: Uint8Array,
  table: { readonly rootVector: Fixed<number>; readonly framingVector: Fixed<number> },
): boolean => table.rootVector.holds(bytes) && table.framingVector.holds(bytes);
