import type { Hertz, Millis, PortAddress, Universe } from './units.ts';

/** How an output fares; plain data, sent from the engine thread to whoever asks. */
export interface OutputReport {
  readonly id: string;
  readonly protocol: 'sacn' | 'artnet';
  /** `sending`: all well. `waiting`: no link or no subscriber to send to. `failing`: the system refuses the sends. */
  readonly state: 'sending' | 'waiting' | 'failing';
  /** Where to, in words: `multicast on eth0`, `192.0.2.7:5568`. */
  readonly towards: string;
  /** Datagrams handed to the system since the start. */
  readonly packets: number;
  /** Datagrams dropped because their link was down. */
  readonly dropped: number;
  readonly errors: readonly OutputFault[];
  readonly universes: readonly UniverseReport[];
  /** Art-Net only: the nodes that answered the last polls. */
  readonly nodes?: readonly NodeReport[];
  /** Art-Net only: who else was heard on its Port-Addresses of late. */
  readonly foreign?: readonly ForeignReport[];
}

export interface OutputFault {
  /** System code, e.g. `ENETUNREACH`. */
  readonly code: string;
  readonly count: number;
  readonly lastAt: Millis;
}

export interface UniverseReport {
  readonly universe: Universe;
  /** Data packets since the start. */
  readonly packets: number;
  readonly lastSentAt: Millis | null;
  /** Art-Net only: it has no Port-Address here, so this output does not send it. */
  readonly isLeft?: true;
}

/** One answering port of an Art-Net node (ArtPollReply). */
export interface NodeReport {
  readonly address: string;
  readonly bindIndex: number;
  readonly shortName: string;
  readonly longName: string;
  /** The node's own words on its state (`#xxxx [yyyy] text`). */
  readonly report: string;
  readonly mac: string;
  /** Port-Addresses that it turns into DMX512: what it subscribes to. */
  readonly outputs: readonly PortAddress[];
  /** Most ArtDmx a second that it takes; 0 means DMX512's own limit. */
  readonly refreshRate: number;
  readonly lastSeenAt: Millis;
}

/** ArtDmx that somebody else sends on a Port-Address of ours. */
export interface ForeignReport {
  readonly portAddress: PortAddress;
  readonly address: string;
  /** Packets a second of late. */
  readonly perSecond: Hertz;
  readonly lastSeenAt: Millis;
  /** Memory of the {@link HeardLevels}; told to no one outside the node. */
  readonly levels?: SharedArrayBuffer;
}

/** Reports as they are told outside the node: memory that threads share stays here. */
export const toldReports = (reports: readonly OutputReport[]): readonly OutputReport[] =>
  reports.map(({ foreign, ...report }) => ({
    ...report,
    ...(foreign === undefined ? {} : { foreign: foreign.map(({ levels: _, ...stream }) => stream) }),
  }));
